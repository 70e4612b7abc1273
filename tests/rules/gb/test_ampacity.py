"""The heat check: published ratings beside the reckoning, one-sided."""

import dataclasses

import pytest
from intake import printed
from jobs import house

from ampwright.rules.gb import ampacity
from ampwright.rules.gb.ampacity import tabulated_rating_cross_check
from ampwright.rules.gb.parts.carrying import tabulated
from ampwright.working import Verdict

UNDER, UP = "route[1].cable", "route[2].cable"
HOT = {"circuit.terminals_c": 90}


def armoured(size_mm2, cores=2, **rest):
    sizes = {f"{each}.{name}": value for each in (UNDER, UP)
             for name, value in {"size_mm2": size_mm2, "cores_count": cores}.items()}  # fmt: skip
    return tabulated_rating_cross_check(house({**sizes, **HOT, **rest}))


@pytest.mark.parametrize(
    ("size_mm2", "cores", "clipped_a", "ducted_a"),
    # BS 7671 table 4E4A as reprinted ("SWA Cables" page, address in sources.csv)
    [(4, 2, 49, 43), (6, 2, 62, 53), (10, 2, 85, 71), (16, 2, 110, 91), (6, 3, 62, 53)],
)
def test_agrees_with_the_published_table(size_mm2, cores, clipped_a, ducted_a):
    finding = armoured(size_mm2, cores)
    reckoned_a = [step.value for step in finding.working if step.symbol == "Icalc"]

    assert finding.verdict is Verdict.MET
    assert reckoned_a == pytest.approx([ducted_a, clipped_a], rel=0.03)


def test_clear_of_the_wall_agrees_with_an_earlier_reckoning():
    # design notes, section 5, made apart from this code: 2 x 6 mm2 free in air 65.5 A, clipped 61.7 A
    assert printed(armoured(6, **{"route[2].method": "E"}), "Icalc") == pytest.approx(65.5, rel=0.02)
    assert printed(armoured(6), "Icalc") == pytest.approx(61.7, rel=0.02)


def test_resistance_and_rise_by_hand():
    # 3.08 ohm/km warmed to 90 C: 0.00308 x (1 + 0.00393 x 70) = 0.0039273 ohm/m; 90 - 30 = 60 K
    finding = armoured(6)

    assert printed(finding, "Rhot") == pytest.approx(0.0039273, abs=1e-7)
    assert printed(finding, "rise") == pytest.approx(60)


def test_says_both_numbers_of_the_stretch_that_is_worst():
    # 100 x (I / 62 - 1) is what is printed beside the amperes
    finding = armoured(6)
    above = [step.value for step in finding.working if step.symbol == "pcalc"]

    assert f"{abs(min(above)):.1f} % below the table" in finding.says
    assert "62 A" in finding.says or "53 A" in finding.says


def table_reads(monkeypatch, times):
    """The table as if someone had mistyped every rating."""
    true = tabulated

    def read(*which):
        return dataclasses.replace(true(*which), value=true(*which).value * times)

    monkeypatch.setattr(ampacity, "tabulated", read)


def test_a_table_that_promises_too_much_is_for_the_designer(monkeypatch):
    # 4E4A a tenth too high: the heat lies some 11 % below, and 6 % may be
    table_reads(monkeypatch, 1.1)
    finding = armoured(6)

    assert finding.verdict is Verdict.FOR_THE_DESIGNER
    assert "more than 6 %" in finding.says


def test_a_table_that_promises_too_little_is_safe_and_said(monkeypatch):
    table_reads(monkeypatch, 0.8)
    finding = armoured(6)

    assert finding.verdict is Verdict.MET
    assert any("safe side" in step.formula for step in finding.working)


@pytest.mark.parametrize(("times", "verdict"), [(0.999, Verdict.MET), (1.001, Verdict.FOR_THE_DESIGNER)])
def test_turns_at_six_percent_below(monkeypatch, times, verdict):
    # a table that reads Icalc / 0.94 stands just 6 % above the reckoning of the worst stretch
    sections = armoured(6).working
    ratios = [step.value for step in sections if step.symbol == "pcalc"]
    table_reads(monkeypatch, times * (1 + min(ratios) / 100) / 0.94)

    assert armoured(6).verdict is verdict


def test_70_c_terminals_are_compared_with_the_row_that_is_used():
    # 4D4A: D 46 A, C 49 A for 6 mm2
    finding = tabulated_rating_cross_check(house())

    assert [step.value for step in finding.working if step.symbol == "It"] == [46, 49]
    assert finding.verdict is Verdict.MET


@pytest.mark.parametrize("changes", [{f"{UNDER}.cores_count": 5, f"{UP}.cores_count": 5},
                                     {f"{UNDER}.kind": "multicore_70c", f"{UP}.kind": "multicore_70c"},
                                     {f"{UNDER}.size_mm2": 25, f"{UP}.size_mm2": 25},
                                     {"route[1].method": "B", "route[2].method": "B"},
                                     {"charge_point.phases": 3}])  # fmt: skip
def test_does_not_apply_where_dimensions_are_not_held(changes):
    assert tabulated_rating_cross_check(house(changes)).verdict is Verdict.DOES_NOT_APPLY


def test_names_the_stretch_that_is_left_out():
    remarks = [step.formula for step in tabulated_rating_cross_check(house({f"{UP}.size_mm2": 25})).working]

    assert any(remark.startswith("up the wall is left out") for remark in remarks)


@pytest.mark.parametrize("path", [f"{UNDER}.cores_count", f"{UP}.size_mm2", "charge_point.phases"])
def test_asks_for_what_it_reads(path):
    finding = tabulated_rating_cross_check(house({path: None}))

    assert finding.verdict is Verdict.NOT_YET_KNOWN
    assert finding.needs == (path,)
