"""Small modules, small functions: what grows past its size shows up here first."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCES = sorted(path for room in ("vault", "tui", "demo_vault") for path in (ROOT / room).rglob("*.py"))
TESTS = sorted((ROOT / "tests").rglob("*.py"))
MODULE, MODULE_IN_GEOMETRY, FUNCTION, COMMAND, TEST_FUNCTION = 300, 400, 40, 15, 25

LONGER_FUNCTIONS: dict[str, int] = {}
"""Functions that may be longer, each with the reason on its line."""


def functions(path: Path) -> Iterator[tuple[str, int, ast.FunctionDef | ast.AsyncFunctionDef]]:
    """Yield each function with its length: lines of code, without its docstring."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            first = node.body[0]
            has_words = isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant)
            words = (first.end_lineno or 0) - first.lineno + 1 if has_words else 0
            yield f"{path.relative_to(ROOT)}:{node.name}", (node.end_lineno or 0) - node.lineno + 1 - words, node


def is_command(node: ast.FunctionDef | ast.AsyncFunctionDef) -> bool:
    return any("command" in ast.unparse(decorator) for decorator in node.decorator_list)


def body_lines(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a command below its signature, where its options stand one a line."""
    has_words = isinstance(node.body[0], ast.Expr) and isinstance(node.body[0].value, ast.Constant)
    code = node.body[1:] if has_words else node.body
    return (node.end_lineno or 0) - code[0].lineno + 1 if code else 0


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_module_fits_into_a_head(path: Path) -> None:
    most = MODULE_IN_GEOMETRY if "geometry" in path.parts else MODULE
    assert len(path.read_text("utf-8").splitlines()) <= most


def test_no_function_is_longer_than_a_screen() -> None:
    found = [f for path in SOURCES for f in functions(path)]
    long = [(name, lines) for name, lines, _ in found if lines > LONGER_FUNCTIONS.get(name, FUNCTION)]
    assert long == []


def test_commands_parse_call_and_show() -> None:
    commands = [f for path in SOURCES if "cli" in path.parts for f in functions(path) if is_command(f[2])]
    assert commands
    assert [(name, body_lines(node)) for name, _, node in commands if body_lines(node) > COMMAND] == []


def test_test_functions_are_short() -> None:
    found = [f for path in TESTS for f in functions(path) if f[2].name.startswith("test_")]
    assert [(name, lines) for name, lines, _ in found if lines > TEST_FUNCTION] == []


def test_every_module_says_what_it_is_for() -> None:
    unsaid = [path.name for path in SOURCES if not ast.get_docstring(ast.parse(path.read_text("utf-8")))]
    assert unsaid == []
