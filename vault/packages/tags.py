"""Read the tag files of a bag (RFC 8493, 2.1 and 2.2) strictly: what could be read in two ways is refused."""

import re
from dataclasses import dataclass
from urllib.parse import unquote

from vault.packages.report import Problem, Wrong

_BOM = b"\xef\xbb\xbf"
_LABEL = re.compile(r"[^\s:](?:[^:]*[^\s:])?")
_MANIFEST_LINE = re.compile(r"([0-9A-Fa-f]+)[ \t]+(\S|\S.*\S)")
_ESCAPED = re.compile(r"%(?:0[aA]|0[dD]|25)")


@dataclass(frozen=True)
class Listing:
    """One manifest as read: digests in small hex digits by path, and what was wrong with its lines."""

    name: str
    algorithm: str
    digests: dict[str, str]
    problems: tuple[Problem, ...]


def lines_of(name: str, content: bytes) -> tuple[list[str], list[Problem]]:
    """Split a tag file at LF, CR or CRLF; a byte order mark or bytes that are not UTF-8 are problems."""
    if content.startswith(_BOM):
        return [], [Problem(Wrong.TAG_FILE, name, "begins with a byte order mark")]
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        return [], [Problem(Wrong.TAG_FILE, name, "is not UTF-8 text")]
    lines = re.split(r"\r\n|\n|\r", text)
    return (lines[:-1] if lines[-1] == "" else lines), []


def read_declaration(content: bytes) -> list[Problem]:
    """Check bagit.txt: two lines, in this order, with exactly one space after each colon."""
    lines, problems = lines_of("bagit.txt", content)
    if problems:
        return problems
    if len(lines) == 2 and (version := re.fullmatch(r"BagIt-Version: ([0-9]+\.[0-9]+)", lines[0])):
        if version[1] != "1.0":
            return [Problem(Wrong.TAG_FILE, "bagit.txt", f"is of BagIt version {version[1]}, only 1.0 is read")]
        if lines[1] == "Tag-File-Character-Encoding: UTF-8":
            return []
    return [
        Problem(Wrong.TAG_FILE, "bagit.txt", "is not the two lines of a BagIt 1.0 declaration, or has stray spaces")
    ]


def read_bag_info(content: bytes) -> tuple[dict[str, str], list[Problem]]:
    """Read bag-info.txt into label and value; the first of a repeated label counts. Folded lines are joined.

    The reference library accepts spaces before the colon and around the value; the rules do not, and nor do we.
    """
    lines, problems = lines_of("bag-info.txt", content)
    pairs: list[tuple[str, str]] = []
    for number, line in enumerate(lines, start=1):
        if pairs and line[:1] in (" ", "\t") and line.strip():
            label, value = pairs.pop()
            pairs.append((label, f"{value} {line.strip()}"))
            continue
        label, colon, value = line.partition(":")
        if not colon or not _LABEL.fullmatch(label) or value[:1] not in (" ", "\t") or value[1:] != value[1:].strip():
            problems.append(
                Problem(Wrong.TAG_FILE, "bag-info.txt", f"line {number} is not 'Label: value', or has stray spaces")
            )
            continue
        pairs.append((label, value[1:]))
    return dict(reversed(pairs)), problems


def read_manifest(name: str, algorithm: str, content: bytes, digits: int) -> Listing:
    """Read a manifest of `algorithm`, whose digests have `digits` hex digits."""
    lines, problems = lines_of(name, content)
    digests: dict[str, str] = {}
    for number, line in enumerate(lines, start=1):
        match = _MANIFEST_LINE.fullmatch(line)
        if match is None or len(match[1]) != digits:
            problems.append(Problem(Wrong.TAG_FILE, name, f"line {number} is not a digest and a path"))
            continue
        path = _ESCAPED.sub(lambda escaped: unquote(escaped[0]), match[2])
        if path in digests:
            problems.append(Problem(Wrong.LISTED_TWICE, path, f"is listed twice in {name}"))
            continue
        digests[path] = match[1].lower()
    return Listing(name, algorithm, digests, tuple(problems))
