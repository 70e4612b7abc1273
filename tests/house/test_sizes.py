"""Small flat files (DESIGN 3.10)."""

import pytest
from source import ROOT, SRC, TESTS, functions, modules, name_of

FILES = [*modules(SRC), *modules(TESTS), *modules(ROOT / "tools"), *modules(ROOT / "benchmarks")]


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_files_stay_under_300_lines_and_functions_under_40(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) < 300
    long = [each.name for each in functions(path) if (each.end_lineno or 0) - each.lineno + 1 >= 40]
    assert not long


def test_nothing_is_called_utils():
    assert not [name_of(path) for path in FILES if "util" in path.stem]
