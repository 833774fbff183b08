"""The demo: an invented shop's register, built event by event, and then the main job done in it."""

import shutil
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from demo_vault.ahead import AheadShapes
from demo_vault.clock import StoryClock
from demo_vault.player import Stage, add_shop
from demo_vault.scenario import shop
from demo_vault.story import Told, story
from vault.actions.context import Vault
from vault.errors import BadInput
from vault.wiring import new_vault

Progress = Callable[[int, int, str], None]


def build(folder: Path, progress: Progress, stop_at: int | None = None) -> Vault:
    """Build the register of the invented shop in an empty or absent folder, and return it open.

    Raises:
        BadInput: The folder is not empty.
        Fault: The folder cannot be written, or git is missing or too old.
    """
    told = story()[:stop_at]
    clock = StoryClock(told[0].day)
    owner = shop.PEOPLE[0]
    made = new_vault(folder, shop.NAME, owner.handle, owner.name, clock=clock, demo=True)
    vault = replace(made, shapes=AheadShapes())
    scratch = Path(tempfile.mkdtemp(prefix="partstead-demo-"))
    try:
        stage = Stage(vault, clock, scratch, folder / "out")
        add_shop(stage)
        for place, one in enumerate(told, start=1):
            progress(place, len(told), one.words)
            _happen(stage, one)
        clock.move_to(shop.TODAY)
    except BaseException:
        vault.close()
        raise
    finally:
        shutil.rmtree(scratch, ignore_errors=True)
    return vault


def _happen(stage: Stage, one: Told) -> None:
    stage.clock.move_to(one.day)
    one.event(stage)


def run_demo(folder: Path, say: Callable[..., None], progress: Progress) -> None:
    """Build the demo and walk the main job in it, saying what is done and where the files are.

    Raises:
        BadInput: The folder is not empty.
    """
    from demo_vault.walk import walk

    if folder.exists() and any(folder.iterdir()):
        raise BadInput(f"{folder} is not empty; name another folder for the demo, or delete it")
    build(folder, progress).close()
    walk(folder, say)
