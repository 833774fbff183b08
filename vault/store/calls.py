"""How git is run: one way, with nothing of the user's own git setup shining through.

Hooks, aliases, replaced objects, grafts, other configuration files and `GIT_*` variables of the caller are all
shut out, so that a register reads and writes the same on every machine and for every user.
"""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from vault.errors import Fault

OLDEST_GIT = (2, 38)
"""The first git with `core.fsync` and the plumbing for merging trees without a work tree."""

_CHILD_PATIENCE_S = 10
_QUARANTINE = frozenset({"GIT_OBJECT_DIRECTORY", "GIT_ALTERNATE_OBJECT_DIRECTORIES", "GIT_QUARANTINE_PATH"})
_FIXED_SETTINGS = (
    f"core.hooksPath={os.devnull}",
    "core.fsync=all",
    "core.commitGraph=false",
    "core.bigFileThreshold=8m",
    "gc.auto=0",
    "maintenance.auto=false",
    "advice.graftFileDeprecated=false",
)
_FIXED_ENVIRONMENT = {
    "LC_ALL": "C",
    "LANGUAGE": "C",
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_NO_REPLACE_OBJECTS": "1",
    "GIT_GRAFT_FILE": os.devnull,
    "GIT_NO_LAZY_FETCH": "1",
    "GIT_ALLOW_PROTOCOL": "",  # older git knows no GIT_NO_LAZY_FETCH: then the fetch itself is refused
    "GIT_TERMINAL_PROMPT": "0",
}


@dataclass(frozen=True)
class Answer:
    """How a git command ended and what it said."""

    code: int
    out: bytes
    words: str  # what it wrote on stderr

    @property
    def ok(self) -> bool:
        """Say whether git reports success."""
        return self.code == 0

    def last_words(self) -> str:
        """Return git's final complaint, without the progress lines around it."""
        lines = [line for line in self.words.splitlines() if line.startswith(("fatal:", "error:"))]
        return lines[-1] if lines else (self.words.strip() or f"it ended with code {self.code}")


@dataclass(frozen=True)
class GitProgram:
    """The git program, aimed at one bare repository.

    `incoming` keeps the variables by which a receiving git shows a check the objects that are not accepted yet.
    """

    repository: Path
    incoming: bool = False

    def environment(self) -> dict[str, str]:
        """Return the environment for a git child: the caller's, with every trace of `GIT_*` replaced by ours."""
        kept = {
            name: value
            for name, value in os.environ.items()
            if not name.startswith("GIT_") or (self.incoming and name in _QUARANTINE)
        }
        return kept | _FIXED_ENVIRONMENT

    def overrides(self) -> dict[str, str]:
        """Return variables that, laid over any environment, aim git at this repository and nothing else.

        For GitPython, which starts its children with the caller's environment and can only add to it.
        """
        stray = {name for name in os.environ if name.startswith("GIT_") and not name.startswith("GIT_PYTHON_")}
        aimed = {
            "GIT_DIR": str(self.repository),
            "GIT_COMMON_DIR": str(self.repository),
            "GIT_CONFIG_COUNT": "0",
            "GIT_CONFIG_PARAMETERS": "",
        }
        if not self.incoming:
            aimed["GIT_OBJECT_DIRECTORY"] = str(self.repository / "objects")
            aimed["GIT_ALTERNATE_OBJECT_DIRECTORIES"] = ""
        silenced = {name: "0" for name in stray if name.startswith("GIT_TRACE")}
        return silenced | aimed | _FIXED_ENVIRONMENT

    def command(self, *arguments: str, settings: Sequence[str] = ()) -> list[str]:
        """Return the full command line for `git <arguments>` on this repository."""
        configured = [piece for setting in (*_FIXED_SETTINGS, *settings) for piece in ("-c", setting)]
        return [git_executable(), f"--git-dir={self.repository}", *configured, *arguments]

    def run(self, *arguments: str, given: bytes = b"") -> Answer:
        """Run a git command to its end, with `given` on its input."""
        return self.feed(*arguments, pieces=(given,))

    def feed(
        self,
        *arguments: str,
        pieces: Iterable[bytes],
        settings: Sequence[str] = (),
        variables: dict[str, str] | None = None,
        inherited: Sequence[int] = (),
    ) -> Answer:
        """Run a git command to its end while sending it `pieces`, in constant memory.

        `inherited` are file descriptors that the child keeps open (POSIX), such as the write lock's.
        An error from `pieces`, or Ctrl-C, ends the child's input unfinished, waits for it, and is passed on.
        """
        child = self.start(*arguments, settings=settings, variables=variables, inherited=inherited)
        assert child.stdin is not None
        try:
            try:
                for piece in pieces:
                    child.stdin.write(piece)
                    child.stdin.flush()  # git works on this piece while the next one is read
            except BrokenPipeError:
                out, words = child.communicate()  # git ended early, and its words say why
            else:
                out, words = child.communicate()
        except BaseException:
            end_child(child)
            raise
        return Answer(child.returncode, out, words.decode("utf-8", "replace"))

    def start(
        self,
        *arguments: str,
        settings: Sequence[str] = (),
        variables: dict[str, str] | None = None,
        inherited: Sequence[int] = (),
    ) -> "subprocess.Popen[bytes]":
        """Start a git command with pipes on all three ends. A session of its own shields it from Ctrl-C."""
        posix = sys.platform != "win32"
        return subprocess.Popen(
            self.command(*arguments, settings=settings),
            env=self.environment() | (variables or {}),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            start_new_session=posix,
            pass_fds=tuple(inherited) if posix else (),
        )


def end_child(child: "subprocess.Popen[bytes]") -> None:
    """End a git child that is not needed any more: close its input, wait, and kill it only if it does not go."""
    for pipe in (child.stdout, child.stderr):
        if pipe is not None:
            pipe.close()
    try:
        if child.stdin is not None:
            child.stdin.close()
    except BrokenPipeError:
        pass  # it is gone already, which is what we want
    try:
        child.wait(_CHILD_PATIENCE_S)
    except subprocess.TimeoutExpired:
        child.kill()
        child.wait()


def git_executable() -> str:
    """Return where the git program is.

    Raises:
        Fault: There is none on the PATH.
    """
    found = shutil.which("git")
    if found is None:
        raise Fault("git is not installed, or not on the PATH; install git 2.38 or newer and try again")
    return found


def require_git() -> None:
    """Make sure that a git program of a usable age is there.

    Raises:
        Fault: git is missing, does not run, or is older than 2.38.
    """
    said = subprocess.run([git_executable(), "version"], capture_output=True, text=True, check=False).stdout
    version = parse_version(said)
    if version is None:
        raise Fault(f"`git version` answers {said.strip()!r}, which is not understood; install git 2.38 or newer")
    if version < OLDEST_GIT:
        raise Fault(f"git {version[0]}.{version[1]} is too old for a register; install git 2.38 or newer")


def parse_version(said: str) -> tuple[int, int] | None:
    """Return (major, minor) from the answer of `git version`, or None: "git version 2.39.5 (x)" -> (2, 39)."""
    found = re.match(r"git version (\d+)\.(\d+)", said)
    return (int(found[1]), int(found[2])) if found else None
