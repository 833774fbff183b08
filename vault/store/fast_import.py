"""The stream that git turns into one commit, all or nothing.

A stream that ends early without `feature done` in front and `done` behind is taken by git for a whole one: half a
decision would be recorded. So every stream has both.
"""

from collections.abc import Iterator

from vault.interfaces import Change, CommitId

BRANCH = "refs/heads/main"
HEAD = f"ref: {BRANCH}\n".encode()
"""What the file `HEAD` of every register holds."""

OPENING = b"feature done\n"
CLOSING = b"done\n"


def commit_stream(change: Change, parent: CommitId | None) -> Iterator[bytes]:
    """Yield the stream that writes `change` upon `parent` (None: the first commit of all).

    The parent is always named by its full id: a branch name would be read anew by git, and with it the guard
    against a branch that moved in the meantime would be gone.
    """
    yield OPENING
    yield f"commit {BRANCH}\nmark :1\n".encode()
    moment = int(change.at.timestamp())
    person = one_line(change.by) or "unknown"
    for role in ("author", "committer"):
        yield f"{role} {person} <> {moment} +0000\n".encode()
    yield _data(one_line(change.message).encode())
    if parent is not None:
        yield f"from {parent}\n".encode()
    for path, content in sorted({**change.entries, **change.cards}.items()):
        yield f"M 100644 inline {path}\n".encode()
        yield _data(content)
    for path, kept in sorted(change.files.items()):
        yield f"M 100644 {kept.blob} {path}\n".encode()
    yield b"get-mark :1\n"
    yield CLOSING


def blob_stream(size_bytes: int, pieces: Iterator[bytes]) -> Iterator[bytes]:
    """Yield the stream that stores one large file as an object and prints its id."""
    yield OPENING
    yield f"blob\nmark :1\ndata {size_bytes}\n".encode()
    yield from pieces
    yield b"\nget-mark :1\n"
    yield CLOSING


def one_line(text: str) -> str:
    """Return `text` on one line, without characters that could be taken for another field of a commit."""
    shown = "".join(char if char.isprintable() else " " for char in text)
    return " ".join(shown.replace("<", " ").replace(">", " ").split())


def _data(content: bytes) -> bytes:
    return b"data %d\n%s\n" % (len(content), content)
