"""The settings of this copy of the register, never committed, and a seal that shows if anyone else changed them.

The seal is the digest of git's `config` file. While a setting is being changed it names the old and the new digest,
so that a kill at any point leaves a file that the seal knows.
"""

import hashlib
import re
from pathlib import Path

from vault.errors import Damaged, Fault, WrongUsage
from vault.store import faults
from vault.store.calls import GitProgram
from vault.store.durable import write_whole

FORMAT = "1"
SETTINGS = {
    "core.bare": "true",
    "core.fsync": "all",
    "core.bigFileThreshold": "8m",
    "core.logAllRefUpdates": "false",
    "gc.auto": "0",
    "maintenance.auto": "false",
    "receive.fsckObjects": "true",
    "receive.denyDeletes": "true",
    "receive.denyNonFastForwards": "true",
    "uploadpack.allowFilter": "true",
    "partstead.format": FORMAT,
}
"""What every register is configured with, also for calls that are not ours, such as a push from outside."""

_NAME = re.compile(r"[a-z][a-z0-9-]{0,40}")


def configure(program: GitProgram) -> None:
    """Write the fixed settings into a new repository and seal them. Raises Fault."""
    for name, value in SETTINGS.items():
        _write(program, name, value)
    seal(program.repository)


def read_local(program: GitProgram, name: str) -> str | None:
    """Return the local setting `name`, or None. Raises WrongUsage for a name that cannot be one."""
    answer = program.run("config", "--file", str(_file(program.repository)), "-z", "--get", _key(name))
    return answer.out.decode().removesuffix("\0") if answer.ok else None


def write_local(program: GitProgram, name: str, value: str) -> None:
    """Keep a local setting.

    Raises:
        WrongUsage: The name or the value cannot be kept in one line.
        Damaged: The configuration was changed by something else since; keeping it would hide that.
        Fault: It cannot be written.
    """
    key = _key(name)
    check_setting(name, value)
    if not is_sealed(program.repository):
        raise Damaged(f"{_file(program.repository)} was changed by another program; look at it before going on")
    now = _file(program.repository).read_bytes()
    scratch = program.repository / "config.next"
    try:
        scratch.write_bytes(now)
        _write(program, key, value, scratch)
        _seal(program.repository, now, scratch.read_bytes())
        write_whole(_file(program.repository), scratch.read_bytes())
        seal(program.repository)
    except OSError as error:
        raise faults.from_system(program.repository, error) from error
    finally:
        scratch.unlink(missing_ok=True)


def check_setting(name: str, value: str = "") -> None:
    """Refuse a setting that could not be kept in one line.

    Raises:
        WrongUsage: The name or the value is not allowed.
    """
    if not _NAME.fullmatch(name):
        raise WrongUsage(f"{name!r} cannot be the name of a setting: use a-z, 0-9 and -")
    if not value.isprintable():
        raise WrongUsage(f"the setting {name} must be one line of printable text, not {value!r}")


def seal(repository: Path) -> None:
    """Declare the configuration as it stands now to be the right one."""
    _seal(repository, _file(repository).read_bytes())


def is_sealed(repository: Path) -> bool:
    """Say whether the configuration is as this program left it."""
    try:
        known = _seal_file(repository).read_text("ascii").split()
        return hashlib.sha256(_file(repository).read_bytes()).hexdigest() in known
    except (FileNotFoundError, UnicodeDecodeError):
        return False


def _file(repository: Path) -> Path:
    return repository / "config"


def _seal_file(repository: Path) -> Path:
    return repository / "config.sha256"


def _seal(repository: Path, *contents: bytes) -> None:
    digests = "\n".join(hashlib.sha256(content).hexdigest() for content in contents)
    write_whole(_seal_file(repository), f"{digests}\n".encode())


def _key(name: str) -> str:
    check_setting(name)
    return f"partstead.{name}"


def _write(program: GitProgram, key: str, value: str, file: Path | None = None) -> None:
    answer = program.run("config", "--file", str(file or _file(program.repository)), key, value)
    if not answer.ok:
        raise faults.from_git(program.repository, answer) if answer.words else Fault(f"git cannot keep {key}")
