"""What goes into a reprint package: from one sheet and the originals to the files of the bag.

The sheet holds everything that time or a person decided, so the same sheet and originals give the same files again.
"""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import metadata

from vault.documents.traveler import traveler_pdf
from vault.model.package_sheet import PackageSheet
from vault.model.packaging import PayloadFile
from vault.packages.bag import as_zip, make_bag
from vault.packages.traveler_of import traveler_of

VERSIONED = ("partstead", "typst", "numpy", "scipy", "trimesh", "cascadio", "pillow")
"""Distributions whose version can change a byte of the package."""


def versions() -> dict[str, str]:
    """Return the versions that a rebuild needs to give the same bytes."""
    return {name: metadata.version(name) for name in VERSIONED}


@dataclass(frozen=True)
class Originals:
    """Bytes that go into the package beside what is computed from the sheet."""

    files: Mapping[str, bytes]  # path below data/ -> bytes as recorded
    green_3mf: bytes
    picture_png: bytes


@dataclass(frozen=True)
class Sealed:
    """A finished package: its ZIP, and the digest of every payload file."""

    zip_bytes: bytes
    payload: tuple[PayloadFile, ...]

    @property
    def sha256(self) -> str:
        """Digest of the ZIP."""
        return hashlib.sha256(self.zip_bytes).hexdigest()


def sheet_json(sheet: PackageSheet) -> bytes:
    """Return package.json: kind and schema first, then the fields in the order of the model."""
    form = {"kind": sheet.KIND, "schema": sheet.SCHEMA, **sheet.model_dump(mode="json")}
    return (json.dumps(form, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()


def seal(sheet: PackageSheet, originals: Originals) -> Sealed:
    """Make the package of a sheet. Raises BadInput where a text cannot be set on paper."""
    payload = {
        **originals.files,
        "green/part.3mf": originals.green_3mf,
        "picture.png": originals.picture_png,
        "package.json": sheet_json(sheet),
        "traveler.pdf": traveler_pdf(traveler_of(sheet), sheet.at, originals.picture_png),
    }
    description = f"Reprint package {sheet.package}: {sheet.order.part} rev {sheet.revision.label}, {sheet.order.id}"
    bag = make_bag(payload, package_id=sheet.package, made_on=sheet.at.date(), description=description)
    listed = tuple(
        PayloadFile(path=path, sha256=hashlib.sha256(content).hexdigest(), size_bytes=len(content))
        for path, content in sorted(payload.items())
    )
    return Sealed(as_zip(bag, sheet.package), listed)
