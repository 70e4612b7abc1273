"""Numbers wear their units in their names (DESIGN 3.1): every float field and every float parameter."""

import ast
import re

import pytest
from source import SRC, modules, name_of, tree

UNITS = (
    "v|a|ma|ka|ohm|mohm|megohm|w|kw|kwh|va|kva|mm|mm2|m|m3|km|c|k|s|ms|min|h|percent|gbp|deg|ratio|count|a2s|ohm_m|year"
)
SUFFIX = re.compile(rf"(?:^|_)({UNITS})(_per_\w+)?s?$|_per_\w+$")
# Without a unit by nature: a printed value on its way to or from a sheet or a table, the k of the adiabatic equation,
# whose name is its symbol, and the need of an item, whose unit stands beside it in `unit`.
BARE = {"value", "reading", "supposed", "low", "high", "k", "k1", "k2", "need"}


def floats(path):
    """Names annotated as numbers: fields and parameters."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            yield node.target.id, node.annotation
        elif isinstance(node, ast.arg) and node.annotation is not None:
            yield node.arg, node.annotation


def is_number(annotation):
    words = re.findall(r"\w+", ast.unparse(annotation))
    return bool({"float", "Reading"} & set(words)) and not {"dict", "Callable", "type"} & set(words)


@pytest.mark.parametrize("path", list(modules(SRC)), ids=name_of)
def test_every_number_wears_its_unit(path):
    naked = [name for name, annotation in floats(path)
             if is_number(annotation) and name not in BARE and not SUFFIX.search(name)]  # fmt: skip
    assert naked == []


def test_the_walk_sees_numbers():
    seen = [name for path in modules(SRC / "job") for name, annotation in floats(path) if is_number(annotation)]
    assert "ze_ohm" in seen
    assert len(seen) > 50
