"""Check a package with nothing but the package: for the floor, the customer, and whoever opens it in ten years.

A package is a BagIt 1.0 bag (RFC 8493), as a ZIP or unpacked. Own rules beyond the RFC: no fetch.txt, a tag manifest
is there, every file is in a manifest, and at least one manifest is SHA-256 or SHA-512.
"""

import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

from vault.errors import NotFound
from vault.packages.bag import PAYLOAD, manifest_of_digests
from vault.packages.container import USUAL_LIMITS, Container, Folder, Limits, UnreadableFile
from vault.packages.paths import shown
from vault.packages.report import Problem, VerifyReport, Wrong
from vault.packages.tags import Listing, read_bag_info, read_declaration, read_manifest
from vault.packages.zip_container import ZipPackage
from vault.records.stored_zip import stored_zip

_MANIFEST_NAME = re.compile(r"(tag)?manifest-([a-z0-9]+)\.txt")
_HEX_DIGITS = {"md5": 32, "sha1": 40, "sha224": 56, "sha256": 64, "sha384": 96, "sha512": 128}
_STRONG = {"sha256", "sha512"}
_SIGNATURE_ENDINGS = (".sig", ".asc", ".p7s")


def verify_package(path: Path, limits: Limits = USUAL_LIMITS) -> VerifyReport:
    """Check the package at `path`, a ZIP or an unpacked folder, without trusting a byte of it.

    Nothing is written and nothing is unpacked. A damaged or hostile package is no error: the report names each fault.

    Raises:
        NotFound: There is no file or folder at `path`, or it may not be read.
    """
    if not path.exists():
        raise NotFound(f"there is no package at {path}; give the ZIP or its unpacked folder")
    try:
        container: Container = Folder(path, limits) if path.is_dir() else ZipPackage(path, limits)
    except OSError as error:
        raise NotFound(f"package {path} cannot be opened: {error.strerror}") from error
    try:
        return _Examination(container, limits).report()
    finally:
        container.close()


@dataclass(frozen=True)
class _Manifests:
    """The manifests of a bag, those of the payload and those of the tag files."""

    payload: tuple[Listing, ...]
    tags: tuple[Listing, ...]

    @property
    def all(self) -> tuple[Listing, ...]:
        return self.payload + self.tags


class _Examination:
    """One check of one package, step by step; problems pile up, none of them stops the next step needlessly."""

    def __init__(self, container: Container, limits: Limits) -> None:
        self._container = container
        self._limits = limits
        self._survey = container.survey
        self._problems = list(container.survey.problems)
        self._fields: dict[str, str] = {}
        self._canonical = True

    def report(self) -> VerifyReport:
        """Do all steps and write the report."""
        if (fault := self._survey.over(self._limits)) is not None:
            self._problems.append(fault)
        elif self._survey.sizes:
            self._examine()
        elif not self._problems:
            self._note(Wrong.NOT_A_PACKAGE, "", "holds no file")
        payload = [path for path in self._survey.sizes if path.startswith(PAYLOAD)]
        as_made = self._as_made()
        return VerifyReport(
            package_id=self._fields.get("External-Identifier"),
            files=len(payload),
            payload_bytes=sum(self._survey.sizes[path] for path in payload),
            problems=tuple(dict.fromkeys(self._problems)),
            notes=tuple(self._survey.notes),
            as_made=as_made,
            signature_files=tuple(path for path in sorted(self._survey.sizes) if path.endswith(_SIGNATURE_ENDINGS)),
        )

    def _examine(self) -> None:
        if "bagit.txt" not in self._survey.sizes:
            self._note(Wrong.NOT_A_PACKAGE, "bagit.txt", "is missing: this is not a bag, or not its top folder")
            return
        self._problems += read_declaration(self._tag_file("bagit.txt"))
        if "fetch.txt" in self._survey.sizes:
            self._note(Wrong.FETCH, "fetch.txt", "names files kept elsewhere; a package holds all of its own files")
        manifests = self._read_manifests()
        self._check_coverage(manifests)
        self._check_digests(manifests)
        self._check_bag_info()

    def _note(self, code: Wrong, path: str, what: str) -> None:
        self._problems.append(Problem(code, shown(path), what))

    def _tag_file(self, path: str) -> bytes:
        """Return a tag file, or nothing where it is unreadable or absurdly large (both are then problems)."""
        if self._survey.sizes[path] > self._limits.tag_file_bytes:
            self._note(Wrong.TOO_MUCH, path, f"is larger than {self._limits.tag_file_bytes} bytes")
            return b""
        try:
            return b"".join(self._container.pieces(path))
        except UnreadableFile as error:
            self._note(Wrong.UNREADABLE, path, str(error))
            return b""

    def _read_manifests(self) -> _Manifests:
        payload: list[Listing] = []
        tags: list[Listing] = []
        for path in sorted(self._survey.sizes):
            if (name := _MANIFEST_NAME.fullmatch(path)) is None:
                continue
            if name[2] not in _HEX_DIGITS:
                self._note(Wrong.TAG_FILE, path, f"uses {name[2]}, which cannot be checked here")
                continue
            content = self._tag_file(path)
            listing = read_manifest(path, name[2], content, _HEX_DIGITS[name[2]])
            self._canonical &= content == manifest_of_digests(listing.digests)
            self._problems += listing.problems
            (tags if name[1] else payload).append(listing)
        for kind, listings in (("manifest", payload), ("tagmanifest", tags)):
            if not any(listing.algorithm in _STRONG for listing in listings):
                self._note(Wrong.MISSING, f"{kind}-sha256.txt", "is missing")
        return _Manifests(tuple(payload), tuple(tags))

    def _check_coverage(self, manifests: _Manifests) -> None:
        """Every payload file is in every payload manifest, every tag file in every tag manifest, and nothing else."""
        payload = {path for path in self._survey.sizes if path.startswith(PAYLOAD)}
        if not payload:
            self._note(Wrong.MISSING, "data", "is missing: the package has no payload")
        tags = {path for path in self._survey.sizes if path not in payload and not path.startswith("tagmanifest-")}
        for listings, expected in ((manifests.payload, payload), (manifests.tags, tags)):
            for listing in listings:
                for path in sorted(listing.digests.keys() - expected):
                    self._note(Wrong.MISSING, path, f"is listed in {listing.name} but is not there")
                for path in sorted(expected - listing.digests.keys()):
                    self._note(Wrong.EXTRA, path, f"is there but not listed in {listing.name}")

    def _check_digests(self, manifests: _Manifests) -> None:
        """Read every listed file once and compare it with every manifest that names it."""
        for path in sorted(self._survey.sizes):
            listings = [listing for listing in manifests.all if path in listing.digests]
            digests = {listing.algorithm: hashlib.new(listing.algorithm, usedforsecurity=False) for listing in listings}
            try:
                for piece in self._container.pieces(path) if digests else ():
                    for digest in digests.values():
                        digest.update(piece)
            except UnreadableFile as error:
                self._note(Wrong.CHANGED, path, str(error))
                continue
            for listing in listings:
                if digests[listing.algorithm].hexdigest() != listing.digests[path]:
                    self._note(Wrong.CHANGED, path, f"is not as {listing.name} says")

    def _check_bag_info(self) -> None:
        if "bag-info.txt" not in self._survey.sizes:
            return
        self._fields, problems = read_bag_info(self._tag_file("bag-info.txt"))
        self._problems += problems
        sizes = [size for path, size in self._survey.sizes.items() if path.startswith(PAYLOAD)]
        total = f"{sum(sizes)}.{len(sizes)}"
        if (stated := self._fields.get("Payload-Oxum", total)) != total:
            self._note(Wrong.WRONG_TOTAL, "bag-info.txt", f"says Payload-Oxum {shown(stated)}, the payload is {total}")
        package_id = self._fields.get("External-Identifier")
        if package_id is not None and package_id != self._survey.top:
            self._survey.notes.append(
                f"the folder is called {shown(str(self._survey.top))}, the package {shown(package_id)}"
            )

    def _as_made(self) -> bool | None:
        """Compare the wrapping with what we would write, which says nothing about the files themselves."""
        if self._problems:
            return None
        if not self._canonical:
            self._survey.notes.append("a manifest is written in another form than ours")
        same = self._container.as_written(stored_zip)
        if same is False:
            self._survey.notes.append("the ZIP was packed again or altered outside its files")
        return same if self._canonical else False
