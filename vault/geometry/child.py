"""Reading foreign shape files in a child process that may hang, blow up or be killed without harm to us.

The child is started afresh (never forked), serves up to 200 files, and gives its results back as plain numbers in a
temporary folder: a file that got the better of a parser cannot make this process run anything.
"""

import contextlib
import json
import os
import queue
import subprocess
import sys
import tempfile
import threading
import time
import weakref
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import numpy as np
import psutil

import vault
from vault.errors import BadInput, Fault
from vault.geometry.load import DEFAULT_LIMITS
from vault.geometry.mesh import Limits, Shape, ShapePart
from vault.units import file_size

FILES_PER_CHILD = 200
_WATCH_EVERY_S = 0.1
_START_TIMEOUT_S = 60.0


def load_in_child(path: Path, unit: str | None = None, limits: Limits = DEFAULT_LIMITS) -> Shape:
    """Read one shape file in a child process of its own.

    Raises:
        BadInput: As `load.load_shape`; also where the child dies, or takes too long or too much memory.
    """
    with ShapeReader(limits) as reader:
        return reader.load(path, unit)


class ShapeReader:
    """A child process that reads shape files one after the other; use it in a `with`, from one thread."""

    def __init__(self, limits: Limits = DEFAULT_LIMITS) -> None:
        self._limits = limits
        self._child: _Child | None = None

    def __enter__(self) -> Self:
        """Return the reader; the child starts with the first file."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        """End the child."""
        self.close()

    def close(self) -> None:
        """End the child, whatever it is doing."""
        if self._child is not None:
            self._child.kill()
            self._child = None

    def load(self, path: Path, unit: str | None = None) -> Shape:
        """Read one file.

        Raises:
            BadInput: The file cannot be read as a shape; the sentence names it. The reader goes on with the next file.
            Fault: The child process cannot be started.
        """
        if self._child is None or self._child.served >= FILES_PER_CHILD or not self._child.is_alive():
            self.close()
            self._child = _Child()
        with tempfile.TemporaryDirectory(prefix="partstead-shape-") as folder:
            request = {"path": str(path.absolute()), "unit": unit, "folder": folder, "limits": vars(self._limits)}
            try:
                answer = self._child.ask(request, path, self._limits)
                if "bad_input" in answer:
                    raise BadInput(str(answer["bad_input"]))
                return _take_shape(Path(folder), path.name)
            except BadInput:
                if not self._child.is_alive():
                    self.close()
                raise
            except BaseException:  # Ctrl-C above all: leave no child behind
                self.close()
                raise


class _Child:
    """One running child and the thread that listens to it."""

    def __init__(self) -> None:
        self.served = 0
        self._answers: queue.Queue[bytes | None] = queue.Queue()
        package_home = str(Path(vault.__file__).resolve().parent.parent)
        environment = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "COV_"))}
        environment |= {"PYTHONPATH": package_home, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        try:
            self._process = subprocess.Popen(
                [sys.executable, "-P", "-m", "vault.geometry.worker"],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                env=environment,
            )
        except OSError as problem:
            raise Fault(f"the reader of shape files cannot be started ({problem.strerror})") from None
        self._listener = threading.Thread(target=_listen, args=(self._process, self._answers), daemon=True)
        self._listener.start()
        self._end = weakref.finalize(self, _end, self._process, self._listener)  # also when it was forgotten
        if self._next_answer(time.monotonic() + _START_TIMEOUT_S) is None:
            self.kill()
            raise Fault("the reader of shape files does not start; is the installation complete?")
        self._base_bytes = self._rss()

    def _next_answer(self, until: float) -> bytes | None:
        try:
            return self._answers.get(timeout=max(0.0, until - time.monotonic()))
        except queue.Empty:
            return None

    def is_alive(self) -> bool:
        """Say whether the child still runs."""
        return self._process.poll() is None

    def kill(self) -> None:
        """End the child at once and wait until it is gone."""
        self._end()

    def ask(self, request: dict[str, Any], path: Path, limits: Limits) -> dict[str, Any]:
        """Send one request and wait for its answer, watching time and memory."""
        self.served += 1
        stdin = self._process.stdin
        try:
            if stdin is not None:
                stdin.write(json.dumps(request).encode() + b"\n")
                stdin.flush()
        except OSError:
            pass  # the child is gone; the loop below says so
        deadline = time.monotonic() + limits.timeout_s
        allowed = self._base_bytes + allowed_bytes(path, limits)
        while True:
            try:
                line = self._answers.get(timeout=_WATCH_EVERY_S)
            except queue.Empty:
                too_long = f"{path.name}: takes longer than {limits.timeout_s:g} s to read"
                self._stop_if(time.monotonic() > deadline, too_long)
                too_much = f"{path.name}: needs more memory to read than {file_size(allowed)}"
                self._stop_if(self._rss() > allowed, too_much)
                continue
            if line is None:
                self.kill()
                raise BadInput(f"{path.name}: the reader broke down over it; the file is damaged or hostile")
            answer: dict[str, Any] = json.loads(line)
            return answer

    def _rss(self) -> int:
        try:
            return int(psutil.Process(self._process.pid).memory_info().rss)
        except psutil.Error:
            return 0

    def _stop_if(self, too_much: bool, sentence: str) -> None:
        if too_much:
            self.kill()
            raise BadInput(sentence)


def _listen(process: "subprocess.Popen[bytes]", answers: "queue.Queue[bytes | None]") -> None:
    """Pass on each line of the child, and None when there will be no more."""
    if process.stdout is not None:
        with contextlib.suppress(OSError, ValueError):  # the pipe closes when the child is killed
            for line in process.stdout:
                answers.put(line)
    answers.put(None)


def _end(process: "subprocess.Popen[bytes]", listener: threading.Thread) -> None:
    """Kill the child, wait until it is gone, and close the pipes."""
    process.kill()
    process.wait()
    if listener is not threading.current_thread():
        listener.join()
    for stream in (process.stdin, process.stdout):
        if stream is not None:
            with contextlib.suppress(OSError):  # what was still to be sent has no reader any more
                stream.close()


def allowed_bytes(path: Path, limits: Limits) -> int:
    """Return how much memory reading a file may take beyond the reader itself."""
    try:
        return max(limits.memory_bytes, 12 * path.stat().st_size)
    except OSError:
        return limits.memory_bytes


def _take_shape(folder: Path, name: str) -> Shape:
    """Read the child's result with the same distrust as any file."""
    try:
        said = json.loads((folder / "shape.json").read_bytes())
        vertices = np.load(folder / "vertices.npy", allow_pickle=False)
        faces = np.load(folder / "faces.npy", allow_pickle=False)
        said["parts"] = tuple(ShapePart(*part) for part in said["parts"])
        said["cautions"] = tuple(said["cautions"])
        return Shape(vertices, faces, **said)
    except (OSError, ValueError, KeyError, TypeError):
        raise BadInput(f"{name}: the reader gave back no shape; the file is damaged or hostile") from None
