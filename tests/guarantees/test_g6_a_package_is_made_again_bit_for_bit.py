"""G6: from the commit that its record names, a package is made again: in another process, folder and time zone."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.builders import PART, some_settings
from tests.fakes import FakeClock
from tests.given import a_path, given_part
from tests.shapes import box, stl_bytes
from vault.actions.context import Vault
from vault.actions.ordering import NewOrder, Review, reorder
from vault.actions.packaging import Issued, rebuild
from vault.actions.releasing import release
from vault.actions.revising import NewRevision, revise
from vault.actions.settings import add_settings
from vault.model.orders import CallOff
from vault.wiring import new_vault, open_vault


def first_package(vault: Vault, folder: Path) -> Issued:
    given_part(vault)
    file = a_path(vault, "bracket.stl", stl_bytes(box(30.0, 20.0, 10.0)))
    revise(vault, PART, NewRevision(file, "first issue", "A", "mm"))
    release(vault, PART, "A")
    made_here = {"id", "number", "part", "made_for", "by", "at", "derived_from"}
    add_settings(vault, PART, "A", some_settings().model_dump(mode="json", exclude=made_here))
    order = NewOrder(PART, "4500-81", "10", "A", (CallOff(due=vault.today, quantity=20),))
    issued = reorder(vault, order, Review(), folder).issued
    assert issued is not None
    return issued


@pytest.fixture
def issued(tmp_path: Path, clock: FakeClock) -> Issued:
    with new_vault(tmp_path / "register", "Shop of the tests", "edda", "Edda", clock=clock) as vault:
        return first_package(vault, tmp_path / "out")


@pytest.mark.parametrize("zone", ["UTC", "Pacific/Kiritimati", "America/Anchorage"])
def test_in_another_process_folder_and_time_zone(tmp_path: Path, issued: Issued, zone: str) -> None:
    elsewhere = tmp_path / zone.replace("/", "-")
    elsewhere.mkdir()
    command = [
        "--register",
        str(tmp_path / "register"),
        "package",
        "rebuild",
        issued.package.id,
        "--to",
        str(elsewhere),
    ]
    environment = {**os.environ, "TZ": zone, "PYTHONPATH": os.pathsep.join(sys.path), "PYTHONHASHSEED": "77"}
    done = subprocess.run(
        [sys.executable, "-m", "vault", *command],
        cwd=elsewhere,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert (elsewhere / issued.file.name).read_bytes() == issued.file.read_bytes()


def test_after_everything_it_was_made_from_has_moved_on(tmp_path: Path, issued: Issued, clock: FakeClock) -> None:
    clock.advance(days=500)
    with open_vault(tmp_path / "register", clock=clock) as vault:
        taller = a_path(vault, "taller.stl", stl_bytes(box(30.0, 20.0, 12.0)))
        revise(vault, PART, NewRevision(taller, "taller", "B", "mm"))
        again = rebuild(vault, issued.package.id, tmp_path / "later")
    assert again.same
    assert again.file.read_bytes() == issued.file.read_bytes()


def test_with_other_versions_the_files_that_differ_are_named(
    tmp_path: Path, issued: Issued, clock: FakeClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("vault.documents.cautions.RECIPE", "Other words of a later version.")
    monkeypatch.setattr("vault.documents.traveler.RECIPE", "Other words of a later version.")
    with open_vault(tmp_path / "register", clock=clock) as vault:
        again = rebuild(vault, issued.package.id, tmp_path / "later")
    assert not again.same
    assert again.differing_files == ("traveler.pdf",)
