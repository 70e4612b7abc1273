"""The law layers import nothing but the standard library and each other (DESIGN 2)."""

import ast
import sys

import pytest
from source import SRC, modules, name_of, tree

LAW = [
    SRC / "working.py", SRC / "reading.py", *modules(SRC / "facts"), *modules(SRC / "physics"),
    *(SRC / "job" / f"{name}.py"
      for name in ("record", "house", "sensing", "sketch", "choices", "paths", "fields", "mpan", "half_hourly")),
    *modules(SRC / "rules"),
]  # fmt: skip


ARRAYS = ("sun.py", "panel.py")  # weather on arrays, with numpy (DESIGN 2)


@pytest.mark.parametrize("path", LAW, ids=name_of)
def test_only_the_standard_library(path):
    roots = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            roots |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            roots.add((node.module or "").split(".")[0])
    also = {"numpy"} if path.parent.name == "physics" and path.name in ARRAYS else set()
    assert roots <= {*sys.stdlib_module_names, "ampwright", *also}


@pytest.mark.parametrize("path", list(modules(SRC / "physics")), ids=name_of)
def test_physics_takes_keywords_only(path):
    public = [node for node in tree(path).body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")]
    assert [node.name for node in public if node.args.args or node.args.posonlyargs] == []
