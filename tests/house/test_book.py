"""One function, one clause, one question; none left out, none untested (DESIGN 3.4, 3.9)."""

import ast

import pytest
from source import SRC, TESTS, tree, used_names

from ampwright.assess.book import BOOK, load_cap_stands
from ampwright.facts import look_up_text, rows
from ampwright.job.fields import fields
from ampwright.working import Trust

NAMES = [each.name for each in BOOK.regulations]
RULE_FILES = [path for path in sorted((SRC / "rules" / "gb").glob("*.py")) if path.stem not in ("__init__", "book")]


def written():
    """Every function decorated as a regulation, by name."""
    for path in RULE_FILES:
        for node in tree(path).body:
            if isinstance(node, ast.FunctionDef):
                yield from (node.name for each in node.decorator_list if ast.unparse(each).startswith("regulation("))


def test_the_book_lists_every_rule_once():
    assert sorted(NAMES) == sorted([*written(), load_cap_stands.name])
    assert len(set(NAMES)) == len(NAMES)


@pytest.mark.parametrize("rule", NAMES)
@pytest.mark.parametrize("edition", BOOK.editions())
def test_every_rule_has_a_clause_in_every_edition(rule, edition):
    assert look_up_text("gb/clauses", "clause", rule=rule, edition=edition)
    assert Trust(look_up_text("gb/clauses", "trust", rule=rule, edition=edition))


def test_no_clause_is_kept_for_a_rule_that_is_gone():
    assert {row["rule"] for row in rows("gb/clauses")} == set(NAMES)


@pytest.mark.parametrize("each", BOOK.regulations, ids=NAMES)
def test_a_rule_needs_only_fields_that_the_record_has(each):
    assert all(path in fields() or any(known.startswith(f"{path}[]") for known in fields()) for path in each.needs)
    assert each.asks.endswith("?")
    assert each.judge.__doc__


@pytest.mark.parametrize("rule", NAMES)
def test_every_rule_is_used_in_a_test_of_its_own(rule):
    assert rule in used_names(TESTS / ("assess" if rule == load_cap_stands.name else "rules"))
