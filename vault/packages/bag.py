"""Make a reprint package: a BagIt 1.0 bag (RFC 8493) as a mapping from paths to bytes, and that bag as one ZIP.

The same payload, id and date give the same bytes on every computer: nothing is compressed, nothing asks the clock.
"""

import hashlib
from collections.abc import Mapping
from datetime import date

from vault.errors import BadInput
from vault.packages.paths import clash_key, fault_of_own_path
from vault.records.stored_zip import stored_zip

DECLARATION = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
"""The whole of bagit.txt (RFC 8493, 2.1.1)."""

PAYLOAD = "data/"


def make_bag(payload: Mapping[str, bytes], *, package_id: str, made_on: date, description: str) -> dict[str, bytes]:
    """Return the bag that holds `payload`, as paths relative to the bag's own folder.

    Args:
        payload: Files by their path below `data/`, such as "green/part.3mf".
        package_id: Name of the package; it becomes External-Identifier and the folder in the ZIP.
        made_on: Bagging-Date, as the package's record has it; the day of rebuilding is never asked.
        description: One line for a person who opens bag-info.txt.

    Raises:
        BadInput: The payload is empty, a path cannot be used everywhere, or the description is not one line.
    """
    _check_names(payload, package_id)
    if not description.isprintable() or description != description.strip() or not description:
        raise BadInput(f"the description of package {package_id} must be one line of text")
    inside = {PAYLOAD + path: content for path, content in payload.items()}
    bag = {
        "bagit.txt": DECLARATION,
        "bag-info.txt": _bag_info(inside, package_id, made_on, description),
        "manifest-sha256.txt": manifest(inside),
    }
    bag["tagmanifest-sha256.txt"] = manifest(bag)
    return bag | inside


def manifest(files: Mapping[str, bytes]) -> bytes:
    """Write one line for each file, "digest  path", sorted by path: the form that `sha256sum -c` reads."""
    return manifest_of_digests({path: hashlib.sha256(content).hexdigest() for path, content in files.items()})


def manifest_of_digests(digests: Mapping[str, str]) -> bytes:
    """Write the lines of a manifest from digests already known."""
    ordered = sorted(digests.items(), key=lambda item: item[0].encode())
    return "".join(f"{digest}  {path}\n" for path, digest in ordered).encode()


def as_zip(bag: Mapping[str, bytes], package_id: str) -> bytes:
    """Return the bag as one stored ZIP with a single top folder named after the package.

    Raises:
        BadInput: The bag is too large for one ZIP.
    """
    try:
        return stored_zip({f"{package_id}/{path}": content for path, content in bag.items()})
    except ValueError as error:
        raise BadInput(f"package {package_id} cannot be packed into one ZIP: {error}") from error


def _bag_info(inside: Mapping[str, bytes], package_id: str, made_on: date, description: str) -> bytes:
    size_bytes = sum(len(content) for content in inside.values())
    fields = (
        ("External-Identifier", package_id),
        ("External-Description", description),
        ("Bagging-Date", made_on.isoformat()),
        ("Payload-Oxum", f"{size_bytes}.{len(inside)}"),
    )
    return "".join(f"{label}: {value}\n" for label, value in fields).encode()


def _check_names(payload: Mapping[str, bytes], package_id: str) -> None:
    if not payload:
        raise BadInput(f"package {package_id} would hold no file")
    if "/" in package_id:
        raise BadInput(f"package {package_id!r} cannot be named so: the name holds a slash")
    seen: dict[str, str] = {}
    for path in payload:
        if (fault := fault_of_own_path(f"{package_id}/{PAYLOAD}{path}")) is not None:
            raise BadInput(f"file {path!r} cannot go into package {package_id}: {fault}")
        if (other := seen.setdefault(clash_key(path), path)) != path:
            raise BadInput(f"files {other!r} and {path!r} are the same name on some computers; rename one")
