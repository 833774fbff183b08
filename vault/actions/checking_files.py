"""Every original read byte by byte and held against the digest and size that its record gives, in constant memory."""

import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from vault.actions.checking_records import Expected, read_each
from vault.errors import Damaged, NotFound, VaultError
from vault.interfaces import Snapshot
from vault.model.design import KeptFile

_SMALL_BYTES = 1 << 20


@dataclass
class FilesSeen:
    """How much was read, and what could not be."""

    files: int = 0
    size_bytes: int = 0
    not_held: list[str] = field(default_factory=list)


def file_problems(
    snapshot: Snapshot, expected: Mapping[str, Expected], seen: FilesSeen, step: Callable[[], None]
) -> Iterator[tuple[str, str]]:
    """Yield (path, what is wrong) for each original that is absent or not as recorded; counts go into `seen`."""
    here = {path for path in expected if snapshot.exists(path)}
    small = sorted(path for path in here if expected[path].kept.size_bytes <= _SMALL_BYTES)
    # One call of git serves all small files; each larger one costs a call and is never in memory as a whole.
    for path, data in read_each(snapshot, small):
        yield from _judged(path, expected[path].kept, iter([data]), seen)
        step()
    for path in sorted(here.difference(small)):
        yield from _judged(path, expected[path].kept, _streamed(snapshot, path), seen)
        step()
    for path in sorted(expected.keys() - here):
        yield path, "a record names it, and it is not in the register"
        step()


def _streamed(snapshot: Snapshot, path: str) -> Iterator[bytes | VaultError]:
    try:
        yield from snapshot.stream(path)
    except (NotFound, Damaged) as error:
        yield error


def _judged(
    path: str, kept: KeptFile, pieces: Iterator[bytes | VaultError], seen: FilesSeen
) -> Iterator[tuple[str, str]]:
    digest, size = hashlib.sha256(), 0
    for piece in pieces:
        if isinstance(piece, NotFound):
            seen.not_held.append(path)
            return
        if isinstance(piece, VaultError):
            yield path, f"its bytes cannot be read: {piece}"
            return
        digest.update(piece)
        size += len(piece)
    seen.files += 1
    seen.size_bytes += size
    if digest.hexdigest() != kept.sha256:
        yield path, f"its bytes are not those recorded: SHA-256 is {digest.hexdigest()}, recorded is {kept.sha256}"
    elif size != kept.size_bytes:
        yield path, f"it has {size} bytes, recorded are {kept.size_bytes}"
