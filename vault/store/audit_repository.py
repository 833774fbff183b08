"""Damage to what surrounds the objects: settings, branches, and ways to make git see another history."""

import re
from collections.abc import Iterator
from pathlib import Path

from vault.interfaces import Damage
from vault.store import configuration, witness
from vault.store.calls import GitProgram
from vault.store.fast_import import BRANCH, HEAD

_REF = re.compile(rb"[0-9a-f]{40}\n")
_PACKED_HEADER = re.compile(rb"# pack-refs with: peeled fully-peeled sorted ?")
_PACKED_REF = re.compile(rb"([0-9a-f]{40}) (refs/[A-Za-z0-9._/-]+)")
_TELLING_KEYS = re.compile(
    r"core\.(hookspath|worktree|alternaterefscommand|sshcommand|fsmonitor|attributesfile|excludesfile)"
    r"|include\..*|includeif\..*|filter\..*|url\..*|uploadpack\.packobjectshook|extensions\.(?!partialclone).*"
)


def examine(program: GitProgram, local: Path) -> Iterator[Damage]:
    """Yield the damage to settings and branches, and every trick by which another history would be shown."""
    repository = program.repository
    yield from _settings(program)
    if _bytes(repository / "HEAD") != HEAD:
        yield Damage("register.git/HEAD", "it does not name the branch main, as it did when it was made")
    yield from _tricks(repository)
    yield from _branches(program)
    yield from _witnessed(program, local)


def _settings(program: GitProgram) -> Iterator[Damage]:
    if not configuration.is_sealed(program.repository):
        yield Damage("register.git/config", "the settings are not as this program left them")
    answer = program.run("config", "--file", str(program.repository / "config"), "-z", "--list")
    if not answer.ok:
        yield Damage("register.git/config", f"git cannot read it: {answer.last_words()}")
        return
    values = dict(line.split("\n", 1) for line in answer.out.decode("utf-8", "replace").split("\0") if "\n" in line)
    for key in values:
        if _TELLING_KEYS.fullmatch(key):
            yield Damage("register.git/config", f"{key} is set, by which git can be made to do something else")
    for key, value in configuration.SETTINGS.items():
        section, _, name = key.partition(".")
        if values.get(f"{section}.{name.lower()}") != value:
            yield Damage("register.git/config", f"{key} is no longer {value}")


def _tricks(repository: Path) -> Iterator[Damage]:
    for name, why in (
        ("objects/info/alternates", "objects are taken from another folder"),
        ("objects/info/http-alternates", "objects are taken from another machine"),
        ("info/grafts", "commits are given other parents"),
        ("shallow", "older history is cut off"),
        ("commondir", "the repository is taken from another folder"),
    ):
        if (repository / name).exists():
            yield Damage(f"register.git/{name}", f"by this file {why}; this program never makes it")
    hooks = repository / "hooks"
    for hook in sorted(hooks.iterdir()) if hooks.is_dir() else ():
        if hook.name not in {"pre-receive", "README.sample"}:
            yield Damage(f"register.git/hooks/{hook.name}", "a program that git would run; this program never makes it")


def _branches(program: GitProgram) -> Iterator[Damage]:
    repository = program.repository
    remotes = _remotes(program)
    named: dict[str, str] = {}  # each branch, and the file that names it
    for file in sorted(path for path in (repository / "refs").rglob("*") if path.is_file()):
        name = file.relative_to(repository).as_posix()
        if name.endswith(".lock"):
            continue
        content = _bytes(file)
        named[name] = name
        if not _REF.fullmatch(content):
            yield Damage(f"register.git/{name}", "it is not the id of a commit any more")
    packed = repository / "packed-refs"
    if packed.exists():
        yield from _packed(program, _bytes(packed), named)
    if BRANCH not in named:
        yield Damage(f"register.git/{BRANCH}", "the branch that holds all records is gone")
    for name in sorted(named):
        if name != BRANCH and not (name.startswith("refs/remotes/") and name.split("/")[2] in remotes):
            yield Damage(f"register.git/{named[name]}", f"{name} is a branch or mark that this program never makes")


def _packed(program: GitProgram, content: bytes, named: dict[str, str]) -> Iterator[Damage]:
    lines = content.split(b"\n")
    whole = lines[-1] == b"" and _PACKED_HEADER.fullmatch(lines[0]) is not None
    commits: list[bytes] = []
    for line in lines[1:-1]:
        ref = _PACKED_REF.fullmatch(line)
        if ref is None:
            whole = False
        else:
            named.setdefault(ref[2].decode(), "packed-refs")
            commits.append(ref[1])  # also one that a newer file overrides, or nobody would ever look at it
    known = program.run("cat-file", "--batch-check=%(objecttype)", given=b"\n".join([*commits, b""]))
    if not whole or known.out != b"commit\n" * len(commits):
        yield Damage("register.git/packed-refs", "it is not the list of branches that it was")


def _remotes(program: GitProgram) -> frozenset[str]:
    answer = program.run("config", "--name-only", "-z", "--get-regexp", r"^remote\..*\.url$")
    names = answer.out.decode("utf-8", "replace").split("\0")[:-1]
    return frozenset(name.removeprefix("remote.").removesuffix(".url") for name in names)


def _witnessed(program: GitProgram, local: Path) -> Iterator[Damage]:
    noted = witness.remembered(local)
    if noted is None:
        return
    answer = program.run("merge-base", "--is-ancestor", noted, BRANCH)
    if not answer.ok:
        yield Damage(
            f"register.git/{BRANCH}",
            f"the history does not lead to commit {noted[:12]}, which was recorded on this machine: it was rewritten, "
            "put back from an older copy, or is broken",
        )


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError:
        return b""
