"""Which names a file inside a package may have, and how a hostile name is shown to a person.

A package is unpacked on every kind of computer, years later, perhaps by somebody who never saw this program.
"""

import re
import unicodedata

MAX_INNER_PATH = 120
"""Longest path inside a package, its top folder included: unpacked in a deep folder it must still open on Windows."""

_OWN_SEGMENT = re.compile(r"[A-Za-z0-9_][A-Za-z0-9._-]{0,79}")
_DEVICE = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?", re.IGNORECASE)


def fault_of_own_path(path: str) -> str | None:
    """Say what is wrong with a path that we are about to write into a package, or None."""
    segments = path.split("/")
    for segment in segments:
        if not _OWN_SEGMENT.fullmatch(segment) or segment.endswith("."):
            return "use letters, digits, dots, dashes and underscores between the slashes"
        if _DEVICE.fullmatch(segment):
            return f"{segment} is the name of a device on some computers"
    if len(path) > MAX_INNER_PATH:
        return f"it has {len(path)} characters, {MAX_INNER_PATH} are allowed"
    return None


def fault_of_foreign_path(path: str) -> str | None:
    """Say why a path found in an archive could leave its folder or mean something else, or None."""
    if not path:
        return "is empty"
    if path.startswith("/") or re.match(r"[A-Za-z]:", path):
        return "is absolute"
    if "\\" in path:
        return "holds a backslash"
    if any(unicodedata.category(char) in {"Cc", "Cs", "Cf"} for char in path):
        return "holds a hidden character"
    if any(segment in {"", ".", ".."} for segment in path.split("/")):
        return "holds an empty, '.' or '..' step"
    return None


def clash_key(path: str) -> str:
    """Reduce a path to what a file system that ignores case and accents' spelling makes of it."""
    return unicodedata.normalize("NFC", path).casefold()


def shown(path: str) -> str:
    """Make a foreign name safe to print: hidden characters escaped, cut at 200 characters."""
    plain = "".join(char if char.isprintable() else f"\\u{ord(char):04x}" for char in path)
    return plain if len(plain) <= 200 else plain[:197] + "..."
