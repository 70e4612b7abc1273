"""Polarity, insulation and the RCD's time as measured."""

import pytest
from jobs import house

from ampwright.reading import assumed, measured
from ampwright.rules.gb.measured import insulation_is_sound, polarity_is_right, rcd_trips_in_time
from ampwright.working import Verdict

MET, NOT_MET, OPEN = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_YET_KNOWN


@pytest.mark.parametrize("rule", [polarity_is_right, insulation_is_sound, rcd_trips_in_time])
def test_before_the_work_there_is_nothing_to_judge(rule):
    assert rule(house()).verdict is Verdict.DOES_NOT_APPLY


def test_a_wrong_polarity_is_refused():
    assert polarity_is_right(house({"tests.polarity_right": True})).verdict is MET
    wrong = polarity_is_right(house({"tests.polarity_right": False}))
    assert (wrong.verdict, wrong.cautions) == (NOT_MET, ("safe_isolation",))


# 1 megohm: Table 64, from memory
@pytest.mark.parametrize(
    ("reading", "verdict"), [(measured(1.0), MET), (measured(0.99), NOT_MET), (assumed(0.5, 200, "two tests"), OPEN)]
)
def test_insulation_turns_at_one_megohm(reading, verdict):
    finding = insulation_is_sound(house({"tests.insulation_megohm": reading}))
    assert finding.verdict is verdict
    assert finding.needs == (("tests.insulation_megohm",) if verdict is OPEN else ())


# 300 ms without delay and 500 ms with: BS EN 61008 operating times as seen in a copy
@pytest.mark.parametrize(
    ("delayed", "reading", "verdict"),
    [(False, measured(300), MET), (False, measured(301), NOT_MET), (True, measured(500), MET),
     (True, measured(501), NOT_MET), (False, assumed(200, 400, "two tests"), OPEN), (None, measured(20), OPEN)],
)  # fmt: skip
def test_the_rcd_has_its_time(delayed, reading, verdict):
    assert rcd_trips_in_time(house({"circuit.rcd.delayed": delayed, "tests.rcd_ms": reading})).verdict is verdict


def test_both_times_are_said():
    finding = rcd_trips_in_time(house({"tests.rcd_ms": measured(900)}))
    assert finding.says == "The RCD took 900 ms at its rated residual current; the limit is 300 ms."
