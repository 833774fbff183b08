"""A process that writes into a register in a child of its own and has it killed at a chosen byte of the stream.

Started by the tests as a program, once; it is told one death per line on its input, as JSON, and answers each with
one line: how the child ended. POSIX only.
"""

import json
import os
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import psutil

from tests.contracts.store_contract import a_change
from vault.errors import VaultError
from vault.interfaces import Change, CommitId
from vault.store import fast_import, writing
from vault.store.opening import open_store

BODY = bytes(range(256)) * 12
RECORDS = 6


def doomed_change(name: str) -> Change:
    """Return the change that is being written when the end comes: several records, of about 20 KB together."""
    entries = {f"doomed/{name}/{number}.json": b"%d" % number + BODY for number in range(RECORDS)}
    return a_change(entries=entries, cards={"card.json": name.encode()})


def large_change(name: str, size_bytes: int) -> Change:
    """Return a change with one record of bytes that do not compress."""
    return a_change(entries={f"doomed/{name}/large.json": os.urandom(size_bytes)})


def main() -> None:
    """Serve deaths until the input ends."""
    for line in sys.stdin:
        order: dict[str, Any] = json.loads(line)
        child = os.fork()
        if child == 0:
            _die(order)
        _, status = os.waitpid(child, 0)
        print(json.dumps({"code": os.waitstatus_to_exitcode(status)}), flush=True)


def _die(order: dict[str, Any]) -> None:
    code = 3
    try:
        code = _write(order)
    except VaultError as error:
        _limit_files(None)
        Path(order["report"]).write_text(f"{type(error).__name__}: {error}", "utf-8")
        code = error.exit_code
    finally:
        os._exit(code)  # the child must never go on to serve orders itself


def _write(order: dict[str, Any]) -> int:
    if order.get("at_byte") is not None:
        _stop_at(order["at_byte"], lambda: _kill(order["victim"]))
    if order.get("after_ms") is not None:
        signal.signal(signal.SIGALRM, lambda *_: _kill(order["victim"]))
        _stop_at(None, lambda: signal.setitimer(signal.ITIMER_REAL, 0.0001 + order["after_ms"] / 1000))
    with open_store(Path(order["folder"])) as store:
        if order.get("file_limit") is not None:
            _limit_files(order["file_limit"])
        if order.get("keep"):
            store.keep(Path(order["keep"]))
            return 0
        change = large_change(order["name"], order["large"]) if order.get("large") else doomed_change(order["name"])
        store.transact(lambda _: change)
    return 0


def _limit_files(size_bytes: int | None) -> None:
    """Let no file grow beyond so many bytes, as on a full disk; None lifts the limit."""
    import resource  # only POSIX has it, and the tests import this module everywhere

    none = resource.RLIM_INFINITY
    resource.setrlimit(resource.RLIMIT_FSIZE, (none if size_bytes is None else size_bytes, none))


def _stop_at(at_byte: int | None, act: Callable[[], object]) -> None:
    """Have `act` called when so many bytes of the stream are with git (None: all of them)."""

    def stream(change: Change, parent: CommitId | None) -> Iterator[bytes]:
        whole = b"".join(fast_import.commit_stream(change, parent))
        place = len(whole) if at_byte is None else min(at_byte, len(whole))
        yield whole[:place]
        act()
        yield whole[place:]

    writing.commit_stream = stream


def _kill(victim: str) -> None:
    """Kill git, this process, or both."""
    if victim in {"git", "both"}:
        for process in psutil.Process().children(recursive=True):
            # The writing git and its own children; a process has no command line yet while it is being started.
            if "cat-file" not in process.cmdline():
                process.kill()
    if victim in {"python", "both"}:
        os.kill(os.getpid(), signal.SIGKILL)


if __name__ == "__main__":
    main()
