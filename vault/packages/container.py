"""Open a package, however it is packed, without trusting it: nothing is unpacked or followed, all is bounded."""

import os
import stat
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

from vault.packages.paths import clash_key, fault_of_foreign_path, shown
from vault.packages.report import Problem, Wrong

PIECE_BYTES = 1 << 20


@dataclass(frozen=True)
class Limits:
    """How much of a package is read before it is refused. A box layout of a thousand parts is far below all of them."""

    files: int = 20_000
    total_bytes: int = 4 << 30
    tag_file_bytes: int = 16 << 20
    ratio: int = 200
    ratio_from_bytes: int = 1 << 20
    directory_bytes: int = 16 << 20
    compared_bytes: int = 512 << 20


USUAL_LIMITS = Limits()


@dataclass
class Survey:
    """The names in a package that are safe to read, with their sizes, and what is wrong with the others."""

    sizes: dict[str, int] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    top: str | None = None

    def accept(self, path: str, size_bytes: int) -> bool:
        """Take in a file under its path in the bag, unless its name is unsafe, taken, or clashes with another."""
        if (fault := fault_of_foreign_path(path)) is not None:
            self.problems.append(Problem(Wrong.UNSAFE_NAME, shown(path), f"its name {fault}"))
            return False
        if path in self.sizes:
            self.problems.append(Problem(Wrong.NAME_CLASH, shown(path), "is in the archive twice"))
            return False
        self.sizes[path] = size_bytes
        return True

    def find_clashes(self) -> None:
        """Report names that some file systems cannot keep apart, and files that are also folders."""
        seen: dict[str, str] = {}
        for path in self.sizes:
            other = seen.setdefault(clash_key(path), path)
            if other != path:
                self.problems.append(
                    Problem(Wrong.NAME_CLASH, shown(path), f"is the same name as {shown(other)} on some computers")
                )
        for path in self.sizes:
            steps = clash_key(path).split("/")
            for depth in range(1, len(steps)):
                file = seen.get("/".join(steps[:depth]))
                if file is not None:
                    self.problems.append(Problem(Wrong.NAME_CLASH, shown(path), f"lies inside the file {shown(file)}"))

    def over(self, limits: Limits) -> Problem | None:
        """Say whether there is more in the package than we are willing to read."""
        if len(self.sizes) > limits.files:
            return Problem(Wrong.TOO_MUCH, "", f"holds {len(self.sizes)} files, at most {limits.files} are read")
        if (total := sum(self.sizes.values())) > limits.total_bytes:
            return Problem(Wrong.TOO_MUCH, "", f"would unpack to {total} bytes, at most {limits.total_bytes} are read")
        return None


class Container(Protocol):
    """A package opened for reading: a ZIP or a folder."""

    survey: Survey

    def pieces(self, path: str) -> Iterator[bytes]:
        """Yield the bytes of a surveyed file.

        Raises:
            UnreadableFile: The bytes cannot be had, or are not those of the archive's own checksum.
        """
        ...

    def as_written(self, rewrite: Callable[[Mapping[str, bytes]], bytes]) -> bool | None:
        """Say whether the wrapping is byte for byte what `rewrite` makes of its files; None where that is unknown."""
        ...

    def close(self) -> None:
        """Let go of the file."""
        ...


class UnreadableFile(Exception):
    """One file of a package cannot be read; caught by the check, which names the file."""


class Folder:
    """A package that somebody has unpacked."""

    def __init__(self, root: Path, limits: Limits) -> None:
        self._root = root
        self.survey = Survey(top=root.resolve().name)
        self._take_in("", limits)
        self.survey.find_clashes()

    def _take_in(self, below: str, limits: Limits) -> None:
        for entry in sorted(os.scandir(self._root / below), key=lambda found: found.name):
            path = below + entry.name
            if len(self.survey.sizes) > limits.files:
                return
            if entry.is_symlink():
                self.survey.problems.append(Problem(Wrong.LINK, shown(path), "is a link; links are not followed"))
            elif entry.is_dir(follow_symlinks=False):
                self._take_in(path + "/", limits)
            elif not entry.is_file(follow_symlinks=False):
                self.survey.problems.append(Problem(Wrong.LINK, shown(path), "is neither a file nor a folder"))
            else:
                self.survey.accept(path, entry.stat(follow_symlinks=False).st_size)

    def pieces(self, path: str) -> Iterator[bytes]:
        """Yield the bytes of a file; it must still be the plain file that was surveyed."""
        try:
            with open(self._root / path, "rb") as file:
                if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
                    raise UnreadableFile("is no longer a file")
                while piece := file.read(PIECE_BYTES):
                    yield piece
        except OSError as error:
            raise UnreadableFile(f"cannot be read: {error.strerror}") from error

    def as_written(self, rewrite: Callable[[Mapping[str, bytes]], bytes]) -> bool | None:
        """A folder has no wrapping."""
        return None

    def close(self) -> None:
        """Nothing is held open."""
