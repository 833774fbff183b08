"""A package as a ZIP: read entry by entry, with every trick that ZIPs allow refused by name.

Own rules beyond the format: one top folder; no ZIP64, comment or added bytes; no links; stored or deflated entries
that neither overlap nor blow up.
"""

import stat
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from vault.packages.container import PIECE_BYTES, Limits, Survey, UnreadableFile
from vault.packages.paths import fault_of_foreign_path, shown
from vault.packages.report import Problem, Wrong

_END = struct.Struct("<4s4H2LH")  # end of central directory record, APPNOTE 4.3.16
_ZIP64_LOCATOR = b"PK\x06\x07"
_LOCAL_HEADER_BYTES = 30
_ENCRYPTED_BITS = 0x1 | 0x40 | 0x2000
_READING_FAULTS = (
    zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError, OSError,
)  # fmt: skip


class ZipPackage:
    """A ZIP opened for checking; `survey` holds what is wrong with it before any file is read."""

    def __init__(self, path: Path, limits: Limits) -> None:
        self._path = path
        self._limits = limits
        self._entries: dict[str, zipfile.ZipInfo] = {}
        self._zip: zipfile.ZipFile | None = None
        self.survey = Survey()
        if (fault := _fault_of_end(path, limits)) is not None:
            self.survey.problems.append(fault)
            return
        try:
            self._zip = zipfile.ZipFile(path)
        except (zipfile.BadZipFile, NotImplementedError, ValueError, struct.error, EOFError) as error:
            self.survey.problems.append(Problem(Wrong.UNREADABLE, "", f"its list of files cannot be read: {error}"))
            return
        self._take_in(self._zip)

    def _take_in(self, archive: zipfile.ZipFile) -> None:
        entries = archive.infolist()
        self.survey.problems += _overlaps(entries, archive.start_dir)
        for entry in entries:
            if (fault := self._fault_of(entry)) is not None:
                self.survey.problems.append(fault)
                continue
            top, _, path = entry.orig_filename.partition("/")
            if self.survey.top is None:
                self.survey.top = top
            if top != self.survey.top:
                self.survey.problems.append(
                    Problem(
                        Wrong.EXTRA, shown(entry.orig_filename), f"lies outside the folder {shown(self.survey.top)}"
                    )
                )
            elif not entry.is_dir() and self.survey.accept(path, entry.file_size):
                self._entries[path] = entry
        if any(entry.compress_type == zipfile.ZIP_DEFLATED for entry in self._entries.values()):
            self.survey.notes.append("the ZIP is compressed: it was packed again, we store without compressing")
        self.survey.find_clashes()

    def _fault_of(self, entry: zipfile.ZipInfo) -> Problem | None:
        """Say what is wrong with one entry before reading a byte of it."""
        name = entry.orig_filename
        kind = stat.S_IFMT(entry.external_attr >> 16)
        if (fault := fault_of_foreign_path(name.removesuffix("/"))) is not None:
            return Problem(Wrong.UNSAFE_NAME, shown(name), f"its name {fault}")
        if kind not in {0, stat.S_IFREG, stat.S_IFDIR}:
            return Problem(Wrong.LINK, shown(name), "is a link or a device; only files are read")
        if entry.flag_bits & _ENCRYPTED_BITS:
            return Problem(Wrong.ENCRYPTED, shown(name), "is encrypted")
        if entry.compress_type not in {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}:
            return Problem(
                Wrong.UNREADABLE,
                shown(name),
                f"is compressed by method {entry.compress_type}; only stored or deflated is read",
            )
        if (
            entry.file_size > self._limits.ratio_from_bytes
            and entry.file_size > self._limits.ratio * entry.compress_size
        ):
            return Problem(
                Wrong.TOO_MUCH, shown(name), f"would grow more than {self._limits.ratio} times when unpacked"
            )
        return None

    def pieces(self, path: str) -> Iterator[bytes]:
        """Yield the bytes of a file; never more than the archive declared, and its checksum is tested at the end."""
        try:
            if self._zip is None:
                raise UnreadableFile("cannot be read: the ZIP is not open")
            with self._zip.open(self._entries[path]) as file:
                while piece := file.read(PIECE_BYTES):
                    yield piece
        except _READING_FAULTS as error:
            raise UnreadableFile(f"cannot be read from the ZIP: {error}") from error

    def as_written(self, rewrite: Callable[[Mapping[str, bytes]], bytes]) -> bool | None:
        """Compare the archive with what `rewrite` makes of its files; None where it is too large to hold twice."""
        if sum(self.survey.sizes.values()) > self._limits.compared_bytes:
            self.survey.notes.append("the ZIP's own headers were not compared: it is too large")
            return None
        files = {f"{self.survey.top}/{path}": b"".join(self.pieces(path)) for path in self._entries}
        return rewrite(files) == self._path.read_bytes()

    def close(self) -> None:
        """Close the archive."""
        if self._zip is not None:
            self._zip.close()


def _fault_of_end(path: Path, limits: Limits) -> Problem | None:
    """Judge the end record before a library follows it: that is where oversized lists are announced."""
    size_bytes = path.stat().st_size
    with path.open("rb") as file:
        file.seek(max(0, size_bytes - _END.size - 20))
        tail = file.read()
    if size_bytes < _END.size or not tail[-_END.size :].startswith(b"PK\x05\x06"):
        return Problem(Wrong.NOT_A_PACKAGE, "", "is not a ZIP, was cut short, or has bytes added at its end")
    _, disk, first_disk, here, count, directory_bytes, start, comment = _END.unpack(tail[-_END.size :])
    if (
        tail[: -_END.size].startswith(_ZIP64_LOCATOR)
        or count == 0xFFFF
        or disk
        or first_disk
        or here != count
        or comment
    ):
        return Problem(
            Wrong.NOT_A_PACKAGE, "", "is a ZIP of a kind that packages never are (ZIP64, split, or with a comment)"
        )
    if count > limits.files or directory_bytes > limits.directory_bytes:
        return Problem(
            Wrong.TOO_MUCH, "", f"lists {count} files in {directory_bytes} bytes; at most {limits.files} are read"
        )
    if start + directory_bytes + _END.size != size_bytes:
        return Problem(Wrong.UNREADABLE, "", "has bytes before its first file or between its list and its end")
    return None


def _overlaps(entries: list[zipfile.ZipInfo], directory_start: int) -> list[Problem]:
    """Find entries that share bytes: the classic bomb lists the same bytes thousands of times."""
    ordered = sorted(entries, key=lambda entry: entry.header_offset)
    ends = [entry.header_offset for entry in ordered[1:]] + [directory_start]
    return [
        Problem(Wrong.TOO_MUCH, shown(entry.orig_filename), "shares bytes of the ZIP with another file")
        for entry, end in zip(ordered, ends, strict=True)
        if entry.header_offset + _LOCAL_HEADER_BYTES + len(entry.orig_filename) + entry.compress_size > end
    ]
