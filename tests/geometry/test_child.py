"""Foreign files are read in a child process: whatever happens to it, we get one sentence and go on."""

import gc
import random
import signal
import subprocess
import sys
from functools import partial
from pathlib import Path

import numpy as np
import psutil
import pytest

from tests.geometry.outside import refusal_of
from tests.geometry.step_text import box_step
from tests.shapes import bracket, cube_10mm, stl_bytes, write
from vault.errors import BadInput
from vault.geometry import child
from vault.geometry.child import ShapeReader, load_in_child
from vault.geometry.load import load_shape
from vault.geometry.measure import measure_file
from vault.geometry.mesh import Limits


def children() -> list[psutil.Process]:
    return [one for one in psutil.Process().children() if "vault.geometry.worker" in one.cmdline()]


def test_the_child_gives_back_exactly_what_reading_here_gives(tmp_path: Path) -> None:
    path = write(tmp_path, "part.stl", stl_bytes(bracket()))
    here, there = load_shape(path, "mm"), load_in_child(path, "mm")
    assert np.array_equal(here.vertices, there.vertices)
    assert np.array_equal(here.faces, there.faces)
    assert (here.parts, here.unit_basis, here.file_sha256) == (there.parts, there.unit_basis, there.file_sha256)
    assert not children()


def test_a_file_is_measured_through_the_child(tmp_path: Path) -> None:
    shape, measured = measure_file(write(tmp_path, "part.step", box_step(30.0, 20.0, 10.0)))
    assert measured.volume_mm3 == pytest.approx(6000.0, rel=1e-6)
    assert measured.file_sha256 == shape.file_sha256


def test_one_child_serves_many_files_and_bad_ones_do_not_end_it(tmp_path: Path) -> None:
    good, bad = write(tmp_path, "part.stl", stl_bytes(cube_10mm())), write(tmp_path, "bad.stl", b"solid")
    with ShapeReader() as reader:
        reader.load(good, "mm")
        first = children()[0].pid
        with pytest.raises(BadInput, match=r"^bad\.stl: "):
            reader.load(bad)
        assert len(reader.load(good, "mm").faces) == 12
        assert children()[0].pid == first
    assert not children()


def test_a_child_is_replaced_after_its_share_of_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(child, "FILES_PER_CHILD", 1)
    path = write(tmp_path, "part.stl", stl_bytes(cube_10mm()))
    with ShapeReader() as reader:
        reader.load(path, "mm")
        first = children()[0].pid
        reader.load(path, "mm")
        assert [one.pid for one in children()] != [first]


def test_a_child_that_dies_over_a_file_is_a_sentence_and_the_next_file_is_read(tmp_path: Path) -> None:
    good = write(tmp_path, "part.stl", stl_bytes(cube_10mm()))
    with ShapeReader() as reader:
        reader.load(good, "mm")
        first = children()
        first[0].kill()
        psutil.wait_procs(first)
        assert len(reader.load(good, "mm").faces) == 12
    assert not children()


def test_a_reader_that_was_forgotten_ends_its_child(tmp_path: Path) -> None:
    reader = ShapeReader()
    reader.load(write(tmp_path, "part.stl", stl_bytes(cube_10mm())), "mm")
    assert children()
    del reader
    gc.collect()
    assert not children()


@pytest.mark.parametrize("seed", range(8))
def test_a_changed_step_file_makes_a_shape_or_a_refusal(tmp_path: Path, seed: int) -> None:
    # Some of these make the STEP library crash with a segmentation fault (seen: about one in twenty).
    chance = random.Random(seed)
    content = box_step(30.0, 20.0, 10.0)
    with ShapeReader(Limits(timeout_s=20)) as reader:
        for _ in range(4):
            changed = bytearray(content)
            place = chance.randrange(content.index(b"DATA;"), len(content) - 30)
            changed[place] = chance.choice(b"0123456789.,()#$*'ET")
            path = write(tmp_path, "part.step", bytes(changed))
            refusal = refusal_of(partial(reader.load, path))
            assert refusal is None or refusal.startswith("part.step: ")
    assert not children()


def test_a_file_that_takes_too_long_is_given_up(tmp_path: Path) -> None:
    # A million points as text keep the child busy for far longer than this process may be kept from looking.
    path = write(tmp_path, "part.obj", b"v 0 0 0\n" * 1_000_000 + b"f 1 2 3\n")
    with (
        ShapeReader(Limits(timeout_s=0.0)) as reader,
        pytest.raises(BadInput, match=r"part\.obj: takes longer than 0 s"),
    ):
        reader.load(path, "mm")
    assert not children()


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux keeps the limit of address space")
def test_a_file_that_takes_too_much_memory_is_given_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # Three million points as text take several hundred million bytes in memory.
    path = write(tmp_path, "part.obj", b"v 0 0 0\n" * 3_000_000 + b"f 1 2 3\n")
    monkeypatch.setattr(child, "allowed_bytes", lambda path, limits: 50_000_000)
    with ShapeReader() as reader, pytest.raises(BadInput, match=r"part\.obj: needs more memory"):
        reader.load(path, "mm")
    assert not children()


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux keeps the limit of address space")
def test_the_child_limits_its_own_memory_too() -> None:
    code = "from vault.geometry.worker import limit_work\nlimit_work(50_000_000, 9.0)\nbytearray(200_000_000)"
    other = subprocess.run([sys.executable, "-c", code], stderr=subprocess.PIPE, check=False)
    assert b"MemoryError" in other.stderr


HANG = """
import signal, sys
from pathlib import Path
from vault.geometry.child import ShapeReader
with ShapeReader() as reader:
    reader.load(Path(sys.argv[1]), "mm")
    print("ready", flush=True)
    signal.pause()
"""


@pytest.mark.skipif(sys.platform == "win32", reason="Ctrl-C cannot be sent to one process there")
@pytest.mark.parametrize("end", [signal.SIGINT, signal.SIGKILL])
def test_no_child_is_left_behind_when_we_are_ended(tmp_path: Path, end: signal.Signals) -> None:
    path = write(tmp_path, "part.stl", stl_bytes(cube_10mm()))
    with subprocess.Popen(
        [sys.executable, "-c", HANG, str(path)], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    ) as us:
        assert us.stdout is not None
        assert us.stdout.readline() == b"ready\n"
        left = psutil.Process(us.pid).children(recursive=True)
        assert left
        us.send_signal(end)
    _, alive = psutil.wait_procs(left, timeout=10)
    assert not alive
