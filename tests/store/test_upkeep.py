"""The settings of a copy and their seal, and packing in the background."""

from pathlib import Path

import pytest

from tests.contracts.store_contract import write
from tests.waiting import wait_until
from vault.errors import Damaged
from vault.store import configuration, durable, housekeeping
from vault.store.layout import repository_folder
from vault.store.opening import open_store


class TestConfiguration:
    """Settings are sealed, and a kill while one is changed breaks no seal."""

    @pytest.mark.parametrize("writes_done", range(4))
    def test_a_kill_at_any_point_leaves_settings_that_the_seal_knows(
        self, register: Path, monkeypatch: pytest.MonkeyPatch, writes_done: int
    ) -> None:
        writes: list[Path] = []

        def killed(path: Path, content: bytes) -> None:
            if len(writes) == writes_done:
                raise KeyboardInterrupt
            writes.append(path)
            durable.write_whole(path, content)

        with open_store(register) as store:
            with monkeypatch.context() as patch:
                patch.setattr(configuration, "write_whole", killed)
                if writes_done < 3:
                    with pytest.raises(KeyboardInterrupt):
                        store.set_local("writer", "B")
            assert store.local("writer") == ("A" if writes_done < 2 or writes_done == 3 else "B")
            assert list(store.audit(lambda _: True)) == []
            store.set_local("writer", "C")

    def test_a_setting_is_not_kept_over_a_change_by_somebody_else(self, register: Path) -> None:
        file = repository_folder(register) / "config"
        file.write_bytes(file.read_bytes() + b"[core]\n\thooksPath = /elsewhere\n")
        with open_store(register) as store:
            with pytest.raises(Damaged, match="config"):
                store.set_local("writer", "B")
            store.seal_configuration()
            store.set_local("writer", "B")
            assert store.local("writer") == "B"


class TestPacking:
    """Packing starts by itself, detached, and nothing is lost by it."""

    def test_packing_starts_by_itself_and_shrinks_the_number_of_files(
        self, register: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(housekeeping, "_MANY_LOOSE", -1)
        packs = repository_folder(register) / "objects" / "pack"
        with open_store(register) as store:
            write(store, entries={"a": b"1"})
            wait_until(lambda: any(packs.glob("*.idx")), "a pack made in the background")
            assert store.at().read("a") == b"1"

    def test_many_loose_objects_or_packs_call_for_packing(self, register: Path) -> None:
        repository = repository_folder(register)
        assert not housekeeping.needs_packing(repository)
        sample = repository / "objects" / "17"
        sample.mkdir(exist_ok=True)
        for number in range(20):
            (sample / f"{number:038x}").touch()
        assert housekeeping.needs_packing(repository)
        for file in sample.iterdir():
            file.unlink()
        for number in range(51):
            (repository / "objects" / "pack" / f"pack-{number}.pack").touch()
        assert housekeeping.needs_packing(repository)
