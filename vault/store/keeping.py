"""Originals: a file's bytes become an object of the store, ahead of the commit that will name it.

Read once, in constant memory, with its SHA-256 and size taken on the way. A large file goes straight into a pack,
compressed lightly, in a folder of its own first: whatever happens half-way, that folder is simply thrown away.
"""

import hashlib
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

from vault.errors import Fault
from vault.interfaces import StoredFile
from vault.store import faults
from vault.store.calls import Answer, GitProgram
from vault.store.durable import sync_folder, sync_objects
from vault.store.fast_import import blob_stream

SCRATCH = "tmp-keep-"
_LARGE_BYTES = 8 << 20
_PIECE_BYTES = 1 << 20
_LARGE_SETTINGS = ("fastimport.unpackLimit=0", "core.compression=1")  # a limit of 1 still unpacks a single object


class _Reading:
    """One pass over a file: yields its pieces and knows the digest afterwards."""

    def __init__(self, source: Path, stream: BinaryIO) -> None:
        self._source = source
        self._stream = stream
        self._digest = hashlib.sha256()
        self.size_bytes = os.fstat(stream.fileno()).st_size

    def pieces(self) -> Iterator[bytes]:
        """Yield exactly the bytes that the file had when it was opened; raise Fault where it changes meanwhile."""
        left = self.size_bytes
        while left:
            try:
                piece = self._stream.read(min(left, _PIECE_BYTES))
            except OSError as error:
                raise Fault(f"{self._source} cannot be read: {error.strerror}; nothing was recorded") from error
            if not piece:
                raise self._changed()
            left -= len(piece)
            self._digest.update(piece)
            yield piece
        if self._stream.read(1):
            raise self._changed()

    def stored(self, blob: str) -> StoredFile:
        """Return the facts of the file, now that all of it was read."""
        return StoredFile(sha256=self._digest.hexdigest(), size_bytes=self.size_bytes, blob=blob)

    def _changed(self) -> Fault:
        return Fault(f"{self._source} changed while it was being read; nothing was recorded: try again")


def keep_file(program: GitProgram, folder: Path, source: Path) -> StoredFile:
    """Put the bytes of `source` into the register at `folder` and return their digest, size and object.

    Raises:
        Fault: The file cannot be read, changed meanwhile, or the register cannot be written.
    """
    try:
        stream = source.open("rb")
    except OSError as error:
        raise Fault(f"{source} cannot be read: {error.strerror}; nothing was recorded") from error
    with stream:
        reading = _Reading(source, stream)
        try:
            keep = _keep_large if reading.size_bytes > _LARGE_BYTES else _keep_small
            return reading.stored(keep(program, folder, reading))
        except OSError as error:
            raise faults.from_system(folder, error) from error


def _keep_small(program: GitProgram, folder: Path, reading: _Reading) -> str:
    answer = program.feed("hash-object", "-w", "--no-filters", "--stdin", pieces=reading.pieces())
    blob = _blob(folder, answer)
    sync_folder(program.repository / "objects")
    with suppress(FileNotFoundError):  # there is no folder for it where the same bytes lie in a pack already
        sync_folder(program.repository / "objects" / blob[:2])
    return blob


def _keep_large(program: GitProgram, folder: Path, reading: _Reading) -> str:
    objects = program.repository / "objects"
    scratch = Path(tempfile.mkdtemp(prefix=SCRATCH, dir=objects))
    try:
        answer = program.feed(
            "fast-import",
            "--quiet",
            pieces=blob_stream(reading.size_bytes, reading.pieces()),
            settings=_LARGE_SETTINGS,
            variables={"GIT_OBJECT_DIRECTORY": str(scratch), "GIT_ALTERNATE_OBJECT_DIRECTORIES": str(objects)},
        )
        blob = _blob(folder, answer)
        _move_packs(scratch / "pack", objects / "pack")
    finally:
        shutil.rmtree(scratch, ignore_errors=True)
    sync_objects(program.repository, since_ns=0)
    return blob


def _move_packs(source: Path, target: Path) -> None:
    """Move a finished pack to where git looks for it, its index last: git sees a pack only by its index."""
    if not source.is_dir():
        return  # the same bytes lie in the store already
    target.mkdir(exist_ok=True)
    for file in sorted(source.iterdir(), key=lambda file: file.suffix == ".idx"):
        os.replace(file, target / file.name)
    sync_folder(target)


def _blob(folder: Path, answer: Answer) -> str:
    if not answer.ok:
        raise faults.from_git(folder, answer)
    return answer.out.decode("ascii").strip()
