"""The demo: an invented shop's register is built, the main job runs on it, and what it promises is in it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from demo_vault.clock import StoryClock
from demo_vault.scenario import shop
from demo_vault.tour import run_demo
from vault.actions.checking import check
from vault.actions.context import Vault
from vault.actions.reading import Reader
from vault.errors import BadInput
from vault.model.cards import Customer, Part
from vault.model.decisions import Concession, Hold, Withdrawal
from vault.model.design import Revision
from vault.model.evidence import Measurement, Nonconformance, Proof
from vault.model.floor import Blend, FurnaceLoad, Lot, LotSplit
from vault.model.orders import Delivery, Order, Return
from vault.model.packaging import PackageSuperseded
from vault.model.words import Stage
from vault.packages.verify import verify_package
from vault.wiring import open_vault

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("demo") / "register"
    run_demo(place, lambda *lines: None, lambda done, of, what: None)
    return place


@pytest.fixture
def demo(folder: Path) -> Iterator[Vault]:
    with open_vault(folder, clock=StoryClock(shop.TODAY)) as vault:
        yield vault


def test_the_shop_has_customers_parts_and_every_stage(demo: Vault) -> None:
    reader = Reader(demo.store.at(), demo.index)
    parts = reader.all_of(Part)
    assert len(reader.all_of(Customer)) >= 4
    assert len(parts) >= 24
    assert {reader.part(part.number).stage for part in parts} == set(Stage)
    assert len(reader.all_of(Revision)) >= 2 * len(parts)


@pytest.mark.parametrize(
    "kind",
    [
        Blend, FurnaceLoad, Lot, LotSplit, Measurement, Proof, Order, Delivery, Return, Concession, Nonconformance,
        Hold, Withdrawal, PackageSuperseded,
    ],
)  # fmt: skip
def test_the_shop_has_lived(demo: Vault, kind: type[Lot]) -> None:
    assert Reader(demo.store.at(), demo.index).all_of(kind)


def test_nothing_in_it_is_damaged(demo: Vault) -> None:
    report = check(demo, full=True)
    assert report.sound
    assert [clash.where for clash in report.clashes] == ["P-A00014 rev B"]


def test_every_package_verifies_and_says_that_it_is_a_demo(folder: Path) -> None:
    packages = sorted((folder / "out").glob("*.zip"))
    assert len(packages) >= 10
    for package in packages:
        assert verify_package(package).intact
        assert shop.WATERMARK.encode() in package.read_bytes()


def test_a_second_demo_refuses_a_folder_that_is_not_empty(folder: Path) -> None:
    with pytest.raises(BadInput, match="is not empty"):
        run_demo(folder, lambda *lines: None, lambda done, of, what: None)
