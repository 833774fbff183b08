"""A process that writes many small changes into one register as fast as it may, and prints how long each took."""

import sys
import time
from pathlib import Path

from tests.contracts.store_contract import a_change
from vault.interfaces import Change, Snapshot
from vault.store.opening import open_store


def main() -> None:
    """Write as many changes as asked for: FOLDER NAME COUNT. Each one counts up the card that all writers share."""
    folder, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
    with open_store(folder) as store:
        print("ready", flush=True)
        sys.stdin.readline()
        for number in range(count):
            begun = time.monotonic()
            store.transact(lambda head, number=number: _one_more(head, f"{name}/{number}.json"))
            print(time.monotonic() - begun, flush=True)


def _one_more(head: Snapshot, path: str) -> Change:
    total = int(head.read("card.json")) + 1
    return a_change(entries={path: b"x"}, cards={"card.json": b"%d" % total})


if __name__ == "__main__":
    main()
