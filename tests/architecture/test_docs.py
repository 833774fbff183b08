"""The documents cannot drift from the program: commands, exit codes, the test command, and forbidden words."""

import re
from pathlib import Path

import pytest
from typer import Typer
from typer.models import CommandInfo

from vault.cli.main import build
from vault.errors import exit_codes

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")


def never_opened(*_: object) -> None:
    raise AssertionError("help opens no register")


def called(command: CommandInfo) -> str:
    return (command.name or (command.callback.__name__ if command.callback else "")).rstrip("_").replace("_", "-")


def command_names(app: Typer) -> list[str]:
    """Every command and group that stands right below the program, also those of groups without a name."""
    names = [called(command) for command in app.registered_commands]
    for group in app.registered_groups:
        if isinstance(group.name, str):
            names.append(group.name)
        elif group.typer_instance:
            names += command_names(group.typer_instance)
    return sorted(names)


def test_every_command_is_named_in_the_readme() -> None:
    names = command_names(build(never_opened))  # type: ignore[arg-type]
    assert len(names) > 40
    assert [name for name in names if f"`partstead {name}" not in README and f"partstead {name} " not in README] == []


def test_the_table_of_exit_codes_is_the_programs_own() -> None:
    table = "".join(f"| {code} | {meaning} |\n" for code, meaning in exit_codes())
    block = re.search(r"<!-- exit codes -->\n\n?(.*?)<!-- end exit codes -->", DEVELOPERS, re.DOTALL)
    assert block is not None
    assert block[1].strip() == f"| code | meaning |\n|---|---|\n{table}".strip()


def test_the_readme_opens_with_the_job_and_has_the_two_commands() -> None:
    first = README.split("\n\n")[1]
    assert "job shop" in first
    assert "pip install --quiet -e . && .venv/bin/partstead demo" in README
    assert re.search(r"<!-- test command -->\n```sh\n.*pytest.*\n```\n<!-- end -->", README)


@pytest.mark.parametrize("picture", re.findall(r"\]\((\.readme/[^)]+)\)", README))
def test_the_pictures_of_the_readme_are_there(picture: str) -> None:
    assert (ROOT / picture).is_file()


def test_every_folder_of_the_map_is_there() -> None:
    rooms = [path.name for path in (ROOT / "vault").iterdir() if path.is_dir() and (path / "__init__.py").exists()]
    assert [room for room in rooms if f"  {room}/" not in DEVELOPERS] == []
