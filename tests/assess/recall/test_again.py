"""Past jobs judged again. England's planning order lost its 2 m from a highway on 29 May 2025 (the order of 2025 in
gb/planning); a lower limit of voltage drop is a table of the test's own.
"""

from __future__ import annotations

import datetime

import pytest
from jobs import change, house

from ampwright.assess.book import BOOK
from ampwright.assess.recall.again import Rules, judged_again
from ampwright.assess.recall.given_tables import BadTables, editions_given
from ampwright.facts import rows
from ampwright.working import Verdict

HOUSE = house()
LAST, NEWEST = (row["edition"] for row in rows("gb/editions"))
HEAD = "use,limit_percent,note,source,where,trust"


def tables(tmp_path, limit="2", name="gb/volt_drop_limit.csv"):
    file = tmp_path / name
    file.parent.mkdir(parents=True, exist_ok=True)
    kept = [f"{use},{limit},a limit to try,bs7671,nowhere,memory" for use in (
        "lighting", "other", "private_lighting", "private_other")]  # fmt: skip
    file.write_text("\n".join([HEAD, *kept]), encoding="utf-8")
    return tmp_path


def test_under_another_edition_the_clauses_change_and_no_verdict():
    (found,) = judged_again([("house", HOUSE)], Rules(edition=LAST))
    changed = [each for each in BOOK.regulations if clause(each.name, LAST) != clause(each.name, NEWEST)]
    assert (found.verdicts, found.wrong) == ((), "")
    assert found.clauses_count == len(changed) > 0


def clause(rule, edition):
    (found,) = [row["clause"] for row in rows("gb/clauses") if (row["rule"], row["edition"]) == (rule, edition)]
    return found


def test_by_the_rules_of_another_day_the_dated_rule_answers_otherwise():
    before_the_order = Rules(day=datetime.date(2025, 5, 28))
    near = change(HOUSE, {"date": datetime.date(2026, 6, 1)})
    unlike = change(near, {"site.nation": "Scotland"})
    found = judged_again([("near", near), ("unlike", unlike)], before_the_order)
    assert [each.name for each in found] == ["near", "unlike"]
    (one,) = found[0].verdicts
    assert one.before.rule == "planning_permission"
    assert (one.before.verdict, one.before.edition, one.after.edition) == (Verdict.MET, NEWEST, LAST)
    assert one.after.verdict is not Verdict.MET
    assert found[1].verdicts == ()


def test_with_another_table_only_what_hangs_on_it_differs(tmp_path):
    # 6 mm2 at 32 A, 7.3 mV/A/m over 5 m and 7.9 over 23 m: 7.0 V, 3.0 % of 230 V: under 5 %, over 2 %
    short = change(HOUSE, {f"route[{number}].length_m": HOUSE.route[0].length_m for number in (0, 1, 2)})
    found = judged_again([("house", HOUSE), ("short", short)], Rules(tables=tables(tmp_path)))
    assert [one.before.rule for one in found[0].verdicts] == ["voltage_drop"]
    assert found[0].verdicts[0].after.verdict is Verdict.NOT_MET
    assert found[1].verdicts == ()  # 5 m at 7.3 and 10 m at 7.9 lose 3.7 V, 1.6 %
    assert {each.before.verdict for each in found[0].verdicts} == {Verdict.MET}


def test_an_edition_may_come_with_the_tables(tmp_path):
    newer = "BS 7671:2030, invented"
    for name in ("gb/editions", "gb/clauses"):
        table = [*rows(name), *({**row, "edition": newer} for row in rows(name) if row["edition"] == NEWEST)]
        lines = [",".join(table[0]), *(",".join(f'"{cell}"' for cell in row.values()) for row in table)]
        (tmp_path / "gb").mkdir(exist_ok=True)
        (tmp_path / f"{name}.csv").write_text("\n".join(lines), encoding="utf-8")
    assert newer in editions_given(tmp_path)
    (found,) = judged_again([("house", HOUSE)], Rules(edition=newer, tables=tmp_path))
    assert (found.verdicts, found.wrong) == ((), "")
    assert newer not in BOOK.editions()


def test_tables_that_cannot_stand_in_place_are_refused_with_every_fault(tmp_path):
    tables(tmp_path, limit="two")
    tables(tmp_path, name="gb/no_such.csv")
    (tmp_path / "gb" / "vat.csv").write_text("rate\n20\n", encoding="utf-8")
    with pytest.raises(BadTables) as bad:
        editions_given(tmp_path)
    for said in ("limit_percent is 'two'", "line 5", "gb/no_such: there is no such table", "gb/vat: its columns"):
        assert said in str(bad.value)
    (tmp_path / "empty").mkdir()
    with pytest.raises(BadTables, match="there is no table in it"):
        editions_given(tmp_path / "empty")


def test_an_edition_without_its_clauses_is_refused(tmp_path):
    (tmp_path / "gb").mkdir()
    only = [",".join(rows("gb/editions")[0]), "BS 7671:2030,invented,2030-01-01,,,bs7671,nowhere,memory"]
    (tmp_path / "gb" / "editions.csv").write_text("\n".join(only), encoding="utf-8")
    with pytest.raises(BadTables, match=r"no clause under BS 7671:2030 for .*voltage_drop"):
        editions_given(tmp_path)
