"""ZIP files that come out byte for byte the same on every machine: stored, sorted, without dates and rights."""

import struct
import zlib
from collections.abc import Mapping

_VERSION = 20  # 2.0: what folders in names need
_UTF8_NAMES = 0x800
_STORED = 0
_TIME, _DATE = 0, (1 << 5) | 1  # 1980-01-01 00:00, the first moment that a ZIP can hold
_UNIX = 3
_RIGHTS = 0o100644 << 16  # a plain file, readable by all
_LARGEST = 0xFFFFFFFE
_MOST_FILES = 0xFFFE


def stored_zip(files: Mapping[str, bytes]) -> bytes:
    """Return a ZIP of the files, not compressed: deflate differs between builds of zlib, and so would the digest.

    Entries are sorted by the bytes of their names, dated 1980-01-01, made "on Unix" with mode 0644, named in UTF-8,
    and carry no extra fields; the form is that of PKWARE's APPNOTE 6.3.x, sections 4.3.7, 4.3.12 and 4.3.16, written
    out here because what Python's own writer puts into the headers is not promised from one version to the next.

    Raises:
        ValueError: A name is empty, absolute, leaves the archive or holds a backslash; or 4 GB or 65,534 files are
            passed.
    """
    if len(files) > _MOST_FILES or sum(map(len, files.values())) > _LARGEST - (1 << 20):
        raise ValueError("too much for one archive: at most 65534 files and 4 GB")
    body: list[bytes] = []
    directory: list[bytes] = []
    at = 0
    for name in sorted(files, key=lambda text: text.encode()):
        data = files[name]
        encoded = _checked(name).encode()
        common = struct.pack(
            "<HHHHHIIIHH",
            _VERSION,
            _UTF8_NAMES,
            _STORED,
            _TIME,
            _DATE,
            zlib.crc32(data),
            len(data),
            len(data),
            len(encoded),
            0,
        )
        body += [b"PK\x03\x04", common, encoded, data]
        made_by = struct.pack("<BB", _VERSION, _UNIX)
        directory += [b"PK\x01\x02", made_by, common, struct.pack("<HHHII", 0, 0, 0, _RIGHTS, at), encoded]
        at += 4 + len(common) + len(encoded) + len(data)
    listing = b"".join(directory)
    end = struct.pack("<4sHHHHIIH", b"PK\x05\x06", 0, 0, len(files), len(files), len(listing), at, 0)
    return b"".join([*body, listing, end])


def _checked(name: str) -> str:
    if "\\" in name or "\0" in name or any(segment in {"", ".", ".."} for segment in name.split("/")):
        raise ValueError(f"{name!r} is no name for a file in an archive")
    return name
