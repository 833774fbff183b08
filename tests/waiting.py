"""The only place where a test waits: always for a condition, never for a length of time."""

import time
from collections.abc import Callable

_POLL_S = 0.005


def wait_until(condition: Callable[[], bool], what: str, patience_s: float = 20.0) -> None:
    """Return as soon as `condition` holds; fail, naming `what` was awaited, when it never does."""
    deadline = time.monotonic() + patience_s
    while not condition():
        if time.monotonic() > deadline:
            raise AssertionError(f"waited {patience_s:.0f} seconds in vain for: {what}")
        time.sleep(_POLL_S)
