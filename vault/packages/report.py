"""What checking a package found, in words that say what was checked and what was not."""

from dataclasses import dataclass
from enum import StrEnum


class Wrong(StrEnum):
    """The ways in which a package can be wrong, each with its own code."""

    NOT_A_PACKAGE = "not a package"
    UNSAFE_NAME = "unsafe name"
    NAME_CLASH = "name clash"
    LINK = "link"
    ENCRYPTED = "encrypted"
    TOO_MUCH = "too much"
    UNREADABLE = "unreadable"
    TAG_FILE = "tag file not in order"
    FETCH = "files elsewhere"
    MISSING = "missing"
    EXTRA = "extra"
    CHANGED = "changed"
    LISTED_TWICE = "listed twice"
    WRONG_TOTAL = "wrong total"


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong: its code, the file (or "" for the package), and one sentence."""

    code: Wrong
    path: str
    what: str


class Answered(StrEnum):
    """Whether a question about a package was answered."""

    YES = "yes"
    NO = "no"
    NOT_CHECKED = "not checked"


@dataclass(frozen=True)
class Check:
    """One question about a package, the answer, and what it rests on."""

    question: str
    answer: Answered
    words: str


@dataclass(frozen=True)
class VerifyReport:
    """The outcome of checking one package without a register.

    `as_made` is True where the wrapping too is byte for byte as this program writes it, False where the package was
    packed again or altered outside its files (`notes` say where), None where that could not be compared.
    """

    package_id: str | None
    files: int
    payload_bytes: int
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]
    as_made: bool | None
    signature_files: tuple[str, ...] = ()

    @property
    def intact(self) -> bool:
        """True where every file is there, as its manifest says, and no other."""
        return not self.problems

    @property
    def checks(self) -> tuple[Check, ...]:
        """The three questions a person has, and which of them this check could answer."""
        return (self._bytes_check(), self._signature_check(), _STILL_CURRENT)

    def _bytes_check(self) -> Check:
        question = "Are the bytes intact?"
        if self.problems:
            count = "1 thing is" if len(self.problems) == 1 else f"{len(self.problems)} things are"
            return Check(question, Answered.NO, f"{count} wrong; do not work from this package")
        words = f"all {self.files} payload files are as the package's own manifests say"
        return Check(question, Answered.YES, words)

    def _signature_check(self) -> Check:
        question = "Who signed it?"
        if not self.signature_files:
            return Check(
                question, Answered.NO, "no signature is present; whoever can write files can make such a package"
            )
        names = ", ".join(self.signature_files)
        return Check(
            question, Answered.NOT_CHECKED, f"a signature is present ({names}); its key is known to the register only"
        )


_STILL_CURRENT = Check(
    "Is it still what should be made?",
    Answered.NOT_CHECKED,
    "only the register knows; ask `partstead package status`",
)
