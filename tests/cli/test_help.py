"""Help in the trade's words: every command has it, with an example that can be typed, and nothing is cut short."""

import ast
import re
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import typer

from vault.actions.context import Vault
from vault.cli.main import build, run

ROOT = Path(__file__).parents[2]


def never_opened(folder: Path, me: str | None, shared_folder: bool) -> Vault:
    raise AssertionError(f"{folder} was opened")


def below(command: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[str, Any]]:
    """Yield every command with what is typed for it."""
    for name, inner in getattr(command, "commands", {}).items():
        if hasattr(inner, "commands"):
            yield from below(inner, (*path, name))
        else:
            yield " ".join((*path, name)), inner


PROGRAM: Any = typer.main.get_command(build(never_opened))
COMMANDS = dict(below(PROGRAM))
GROUPS = [name for name, inner in PROGRAM.commands.items() if hasattr(inner, "commands")]


def options_of(command: Any) -> set[str]:
    return {option for parameter in command.params for option in parameter.opts if option.startswith("--")} | {"--help"}


def needed_by(command: Any) -> set[str]:
    """Return the options that must be typed with a command."""
    return {parameter.opts[0] for parameter in command.params if parameter.required and "--" in parameter.opts[0]}


def command_in(words: list[str]) -> str | None:
    """Return which command the words begin with."""
    return next((name for end in (2, 1) if (name := " ".join(words[:end])) in COMMANDS), None)


def examples(text: str) -> list[str]:
    return [" ".join(found.split()) for found in re.findall(r"Example:\s+partstead (.+)", text, re.DOTALL)]


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_with_an_example_of_itself(name: str) -> None:
    command = COMMANDS[name]
    assert command.help
    (example,) = examples(command.help)
    words = shlex.split(example)
    assert command_in(words) == name
    assert {word for word in words if word.startswith("--")} <= options_of(command)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_says_what_it_is(name: str) -> None:
    assert [parameter.name for parameter in COMMANDS[name].params if not getattr(parameter, "help", None)] == []


@pytest.mark.parametrize("group", ["", *GROUPS])
def test_no_line_of_a_list_of_commands_is_cut_short(group: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(never_opened, [*group.split(), "--help"]) == 0
    listed = capsys.readouterr().out.split("Commands:")[1]
    assert [line for line in listed.splitlines() if re.search(r"\w\.\.\.$", line)] == []


NOT_TOLD = {"geometry 1"}  # the name under which a measured shape keeps what measured it


def told_commands() -> set[tuple[str, str]]:
    """Return every command that a sentence or a finding of the program tells a person to type, and where it stands."""
    sources = (ROOT / "vault").rglob("*.py")
    found = {
        (told.strip(), path.relative_to(ROOT).as_posix())
        for path in sources
        for text in texts_in(ast.parse(path.read_text("utf-8")))
        for told in re.findall(r"(?:^|`)partstead ([a-z][^`]*)", text)
    }
    return {(told, where) for told, where in found if told not in NOT_TOLD}


def texts_in(tree: ast.AST) -> Iterator[str]:
    """Yield every text of a module but for docstrings, with X for whatever a text is filled in with."""
    for node in ast.iter_child_nodes(tree):
        match node:
            case ast.Expr(value=ast.Constant()):
                continue
            case ast.JoinedStr(values=parts):
                yield "".join(str(part.value) if isinstance(part, ast.Constant) else "X" for part in parts)
            case ast.Constant(value=str(text)):
                yield text
            case _:
                yield from texts_in(node)


@pytest.mark.parametrize(("told", "where"), sorted(told_commands()))
def test_a_command_that_a_sentence_tells_can_be_typed(told: str, where: str) -> None:
    words = told.split()
    name = command_in(words)
    assert name is not None, f"{where} tells `partstead {told}`, which is no command"
    named = {word for word in words if word.startswith("--")}
    assert named <= options_of(COMMANDS[name])
    if words != name.split():  # a bare name only says where to look; what is told with its words can be typed so
        assert needed_by(COMMANDS[name]) <= named
