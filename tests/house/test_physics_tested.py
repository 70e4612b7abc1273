"""Every public physics function stands in a test (DESIGN 3.9)."""

import ast

import pytest
from source import SRC, TESTS, modules, tree, used_names

PUBLIC = [
    node.name
    for path in modules(SRC / "physics")
    if path.name not in ("sane.py", "__init__.py")
    for node in tree(path).body
    if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
]


@pytest.mark.parametrize("name", PUBLIC)
def test_every_physics_function_is_used_in_a_test(name):
    assert name in used_names(TESTS / "physics")
