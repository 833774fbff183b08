"""The main job on the demo's register, through the very commands that a person would type."""

import shlex
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from demo_vault.clock import StoryClock
from demo_vault.scenario import shop
from vault.actions.context import Vault
from vault.errors import Clash, Fault, Refused
from vault.wiring import open_vault

Say = Callable[..., None]

PART = "P-A00032"
"""The part that the customer orders again, and of which the demo knows that it is ready."""

REFUSED = Refused.exit_code
CLASH = Clash.exit_code


@dataclass(frozen=True)
class Step:
    """One step of the job: what it is about, the command, and the exit code that it ends with."""

    words: str
    command: str
    code: int = 0


def steps(folder: Path) -> tuple[Step, ...]:
    """Return the steps of the job."""
    out = shlex.quote(str(folder / "out"))
    order = f"reorder {PART} --qty 60 --po 4500471 --po-line 10 --due 2026-12-18 --yes --to {out}"
    return (
        Step("A customer orders again. What do they mean?", 'find "ga coupler 40"'),
        Step("May it be made again today?", f"ready {PART}"),
        Step("How many boxes are 60 pieces?", f"plan {PART} --qty 60"),
        Step("Their PO asks for the revision before: no.", f"{order} --po-rev R1", REFUSED),
        Step("The amended PO asks for R2: the order and its reprint package.", f"{order} --po-rev R2"),
        Step("Is the package whole? This needs no register.", f"verify {out}/{{package}}"),
        Step("What the customer may know of their part.", f"history {PART} --to {out}/for-the-customer"),
        Step("Is all as it was recorded? Yes; and one label waits for an answer.", "check --full", CLASH),
    )


def walk(folder: Path, say: Say) -> None:
    """Do the main job step by step, printing each command and what it prints.

    Raises:
        Fault: A step did not end as it should.
    """
    from vault.cli.main import run

    def opened(where: Path, me: str | None, shared_folder: bool) -> Vault:
        return open_vault(where, me, StoryClock(shop.TODAY), shared_folder)

    before = set(folder.glob("out/*.zip"))
    for place, step in enumerate(steps(folder), start=1):
        made = sorted(set(folder.glob("out/*.zip")) - before)
        command = step.command.format(package=made[-1].name if made else "")
        say("", f"{place}. {step.words}", f"$ partstead {command}", "")
        code = run(opened, ["--register", str(folder), *shlex.split(command)])
        if code != step.code:
            raise Fault(f"the demo's step {place} ended with {code}: partstead {command}")
    say("", f"The register is in {folder}; its packages and the customer's history are in {folder / 'out'}.")
    say(f"Go on with: partstead --register {folder} find impeller")
