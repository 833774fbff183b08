"""Packages for the tests: a good one, and the means to spoil it."""

import io
import zipfile
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from vault.packages.bag import as_zip, make_bag, manifest
from vault.packages.report import VerifyReport, Wrong
from vault.packages.verify import verify_package

PACKAGE = "R-26A0007"

PAYLOAD = {
    "traveler.pdf": b"%PDF-1.7 only a stand-in",
    "package.json": b'{"part": "BRK-204"}\n',
    "design/bracket.step": b"ISO-10303-21;" * 40,
    "green/part.3mf": bytes(range(256)) * 4,
    "empty.txt": b"",
}


def a_bag(payload: Mapping[str, bytes] = PAYLOAD) -> dict[str, bytes]:
    """Return a good bag."""
    return make_bag(
        payload, package_id=PACKAGE, made_on=date(2026, 3, 9), description="Bracket BRK-204 rev C, 200 pieces"
    )


def sealed(bag: Mapping[str, bytes]) -> dict[str, bytes]:
    """Write the tag manifest anew, so that only the fault under test is left."""
    tags = {path: content for path, content in bag.items() if not path.startswith(("data/", "tagmanifest-"))}
    return {**bag, "tagmanifest-sha256.txt": manifest(tags)}


def in_folder(root: Path, bag: Mapping[str, bytes]) -> Path:
    """Write a bag as an unpacked folder called after the package."""
    top = root / PACKAGE
    for path, content in bag.items():
        target = top / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
    return top


def in_zip(root: Path, bag: Mapping[str, bytes]) -> Path:
    """Write a bag as our own ZIP."""
    path = root / f"{PACKAGE}.zip"
    path.write_bytes(as_zip(bag, PACKAGE))
    return path


def in_odd_zip(
    root: Path, entries: list[tuple[zipfile.ZipInfo | str, bytes]], method: int = zipfile.ZIP_STORED
) -> Path:
    """Write a ZIP by the standard library, entry by entry: names, attributes and repeats as wanted."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", method) as archive:
        for name, content in entries:
            archive.writestr(name, content)
    path = root / "odd.zip"
    path.write_bytes(buffer.getvalue())
    return path


def good_entries() -> list[tuple[zipfile.ZipInfo | str, bytes]]:
    """Return the entries of a good package, for a ZIP that gets something added."""
    return [(f"{PACKAGE}/{path}", content) for path, content in a_bag().items()]


def faults(path: Path) -> set[tuple[Wrong, str]]:
    """Check a package and return the code and the file of every problem."""
    return {(problem.code, problem.path) for problem in report_of(path).problems}


def report_of(path: Path) -> VerifyReport:
    """Check a package."""
    return verify_package(path)
