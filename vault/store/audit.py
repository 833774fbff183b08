"""Looking for damage: is everything that was ever recorded still there, byte for byte, as it was recorded?

Looked at are the repository's settings and branches, every object with its own digest, and every commit of the
history against each of its parents. Nothing is repaired. Not looked at: the index, caches and drafts, which hold
nothing of their own. Not damage: a byte of a compressed file by whose change no recorded byte changes.
"""

from collections.abc import Callable, Iterator
from pathlib import Path

from vault.interfaces import Damage
from vault.store import audit_history, audit_objects, audit_repository
from vault.store.calls import GitProgram


def examine(program: GitProgram, local: Path, is_write_once: Callable[[str], bool]) -> Iterator[Damage]:
    """Yield all damage of the repository, what is wrong with it as a whole first. Never raises for damage."""
    found = False
    for damage in (*audit_repository.examine(program, local), *audit_objects.examine(program)):
        found = True
        yield damage
    for damage in audit_history.examine(program, is_write_once, explained=found):
        yield damage
