"""The child process behind `child.ShapeReader`: reads requests as lines of JSON, writes shapes as plain arrays.

Run as `python -m vault.geometry.worker`; ends when its parent does.
"""

import json
import os
import queue
import signal
import sys
import threading
from dataclasses import fields
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np
import psutil

from vault.errors import BadInput
from vault.geometry.child import allowed_bytes
from vault.geometry.load import load_shape
from vault.geometry.mesh import Limits, Shape

_LIBRARIES_BYTES = 1 << 30
"""Room for the libraries that the readers load on first use."""

_PATIENCE = 4
"""Time on all processors against time on the clock."""


def main() -> None:
    """Serve requests until the parent closes the pipe."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the parent's to answer; it ends us
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # libraries that print must not disturb the answers
    requests: queue.Queue[bytes] = queue.Queue()
    threading.Thread(target=_listen, args=(sys.stdin.buffer, requests), daemon=True).start()
    _say(answers, {"ready": True})
    while True:
        request = json.loads(requests.get())
        try:
            _serve(request)
            _say(answers, {"done": True})
        except BadInput as problem:
            _say(answers, {"bad_input": str(problem)})


def _listen(stream: BinaryIO, requests: "queue.Queue[bytes]") -> None:
    """Take requests as they come; when the parent is gone, end at once, even in the middle of a file."""
    for line in stream:
        requests.put(line)
    os._exit(0)


def _say(answers: BinaryIO, answer: dict[str, Any]) -> None:
    answers.write(json.dumps(answer).encode() + b"\n")
    answers.flush()


def _serve(request: dict[str, Any]) -> None:
    path, limits = Path(request["path"]), Limits(**request["limits"])
    limit_work(allowed_bytes(path, limits) + _LIBRARIES_BYTES, limits.timeout_s)
    write_shape(load_shape(path, request["unit"], limits), Path(request["folder"]))


def limit_work(beyond_bytes: int, seconds: float) -> None:
    """Let this process take at most so many more bytes of address space, and about so much more time.

    The parent watches both everywhere; the limit of time here is for a library that hangs after the parent was killed.
    Only Linux is known to keep these.
    """
    if sys.platform != "linux":
        return
    import resource  # POSIX only

    used = psutil.Process()
    _lower(resource.RLIMIT_AS, used.memory_info().vms + beyond_bytes)
    _lower(resource.RLIMIT_CPU, int(sum(used.cpu_times()[:2]) + _PATIENCE * (seconds + 1)))


def _lower(which: int, wanted: int) -> None:
    import resource  # POSIX only

    _, hard = resource.getrlimit(which)
    resource.setrlimit(which, (wanted if hard == resource.RLIM_INFINITY else min(wanted, hard), hard))


def write_shape(shape: Shape, folder: Path) -> None:
    """Put a shape into a folder as two arrays and what is known of them."""
    np.save(folder / "vertices.npy", shape.vertices, allow_pickle=False)
    np.save(folder / "faces.npy", shape.faces, allow_pickle=False)
    said = {f.name: getattr(shape, f.name) for f in fields(shape) if f.name not in {"vertices", "faces"}}
    said["parts"] = [list(vars(part).values()) for part in shape.parts]
    (folder / "shape.json").write_text(json.dumps(said), encoding="utf-8")


if __name__ == "__main__":
    main()
