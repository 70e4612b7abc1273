"""The project's own source, as the house tests read it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
SRC = ROOT / "src" / "ampwright"
TESTS = ROOT / "tests"


def modules(folder: Path = SRC) -> Iterator[Path]:
    """Every Python file below a folder."""
    yield from sorted(path for path in folder.rglob("*.py") if "__pycache__" not in path.parts)


def tree(path: Path) -> ast.Module:
    """A file, parsed."""
    return ast.parse(path.read_text(encoding="utf-8"))


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function of a file, methods and inner ones included."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def name_of(path: Path) -> str:
    """A path as shown in a failure."""
    return str(path.relative_to(ROOT))


def used_names(folder: Path) -> set[str]:
    """Every name that the tests below a folder use in an expression, imports left out."""
    found: set[str] = set()
    for path in folder.rglob("test_*.py"):
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Name):
                found.add(node.id)
            elif isinstance(node, ast.Attribute):
                found.add(node.attr)
    return found
