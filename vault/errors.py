"""Every error that a person can meet, in one tree, with the exit code on the class.

A message names the thing, says what is wrong, and where it helps ends with the next command to type.
"""

from typing import ClassVar


class VaultError(Exception):
    """Something went wrong that a person can read about in one sentence."""

    exit_code: ClassVar[int] = 1
    meaning: ClassVar[str] = "a fault of the program or of the machine"


class Fault(VaultError):
    """The machine failed us: disk full, folder not writable, git missing."""


class WrongUsage(VaultError):
    """The command line asks for something that cannot be meant."""

    exit_code = 2
    meaning = "the command was not understood"


class NotFound(VaultError):
    """The thing asked for is not in the register, or its name fits several things."""

    exit_code = 3
    meaning = "not found, or the name fits several things"


class Refused(VaultError):
    """A rule of the shop or the trade says no; the message lists every reason."""

    exit_code = 4
    meaning = "refused by a rule"


class BadInput(VaultError):
    """A file or a value is unreadable, impossible or incomplete; nothing was written."""

    exit_code = 5
    meaning = "bad input; nothing was written"


class Damaged(VaultError):
    """Bytes are not what they were when they were recorded."""

    exit_code = 6
    meaning = "damage found"


class Clash(VaultError):
    """Somebody else wrote first, or two records contradict each other."""

    exit_code = 7
    meaning = "clash with another writer"


class NotAllowed(VaultError):
    """This person may not do this; the message says who can."""

    exit_code = 8
    meaning = "not allowed for this person"


def exit_codes() -> tuple[tuple[int, str], ...]:
    """Return every exit code with its meaning, 0 first, for the documents and the help."""
    families: list[type[VaultError]] = [VaultError, *VaultError.__subclasses__()]
    codes = {family.exit_code: family.meaning for family in families}
    return ((0, "done"), *sorted(codes.items()))
