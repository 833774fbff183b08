"""The program's door: `partstead ...`, or `python -m vault ...`."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from vault.cli.main import run

if TYPE_CHECKING:
    from vault.actions.context import Vault


def _open(folder: Path, me: str | None, shared_folder: bool) -> "Vault":
    from vault.wiring import open_vault  # here, so that help and completion start fast

    return open_vault(folder, me, shared_folder=shared_folder)


def main() -> None:
    """Run the command line that this process was started with."""
    sys.exit(run(_open, sys.argv[1:]))


if __name__ == "__main__":
    main()
