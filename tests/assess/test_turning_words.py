"""What is said of a turning value: which side is safe, rounded so that it claims too little and never too much."""

import math
import re
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import house

from ampwright.assess.book import BOOK
from ampwright.assess.turning import Answer, Stretch, Turning, turning_values
from ampwright.assess.turning_words import UNITS, rounded, safe_if, with_unit
from ampwright.job.fields import bare, leaves
from ampwright.job.paths import replaced
from ampwright.reading import Reading, assumed, measured
from ampwright.working import Verdict

GARDEN = "route[1].length_m"
MET, NOT_MET, OPEN, JUDGED = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_YET_KNOWN, Verdict.FOR_THE_DESIGNER
UNITLESS = ("_count", "_year")


def said(path: str, *stretches: tuple[float, float, Verdict]) -> str:
    return safe_if(Turning("a_rule", path, tuple(Stretch(*each) for each in stretches)))


def touching(path: str, *ends: Any) -> str:
    """Ends and verdicts by turns, for a quantity of which every float counts: 0, MET, 23.4, NOT_MET, 1000."""
    numbers, kinds = ends[::2], ends[1::2]
    lows = [numbers[0], *(math.nextafter(each, math.inf) for each in numbers[1:-1])]
    return said(path, *zip(lows, numbers[1:], kinds, strict=True))


def test_the_length_of_a_run():
    # 37.87025... m worked by hand in test_turning: 37.87 m is safe and 37.88 m is not
    found = turning_values(house({GARDEN: None}), BOOK.regulation("voltage_drop"), GARDEN)
    assert found is not None
    assert safe_if(found) == ("safe if the length of this stretch (route, no. 2) is 37.87 m or less; "
                              "not safe if it is above 37.88 m")  # fmt: skip


@pytest.mark.parametrize(("rule", "path", "found"), [
    ("voltage_drop", GARDEN, r"is ([0-9.]+) m or less; not safe if it is above ([0-9.]+) m$"),
    ("cutout_carries_demand", "supply.cutout.rating_a",
     r"is ([0-9.]+) A or more; not safe if it is below ([0-9.]+) A$"),
    ("cable_carries_device_rating", "route[0].insulation_mm",
     r"is ([0-9.]+) mm or less; not safe if it is above ([0-9.]+) mm$"),
    ("gas_separation", "site.gas.pipe_to_cable_mm", r"is ([0-9.]+) mm or more; not safe if it is below ([0-9.]+) mm$"),
])  # fmt: skip
def test_what_is_said_is_so(rule, path, found):
    """The rule is met at the bound that is called safe, and not met just past the other."""
    job, judge = house({path: None}), BOOK.regulation(rule)
    turning = turning_values(job, judge, path)
    assert turning is not None
    said_of = re.search(found, safe_if(turning))
    assert said_of is not None
    safe, past = float(said_of[1]), float(said_of[2])
    beyond = math.inf if "above" in found else -math.inf
    assert judge(replaced(job, path, measured(safe))).verdict is MET
    assert judge(replaced(job, path, measured(math.nextafter(past, beyond)))).verdict is NOT_MET
    assert safe == pytest.approx(past, rel=0.002)


def test_between_it_depends_on_the_others():
    job = house({GARDEN: None, "route[2].length_m": assumed(1, 20)})
    found = turning_values(job, BOOK.regulation("voltage_drop"), GARDEN)
    assert found is not None
    # 20.8702... and 39.8702... m, see test_turning
    assert safe_if(found) == (
        "safe if the length of this stretch (route, no. 2) is 20.87 m or less; not safe if it is above 39.88 m; "
        "if it is between 20.87 and 39.88 m, it depends on the other readings"
    )


@pytest.mark.parametrize(("ends", "words"), [
    ((0, NOT_MET, 2.49999, MET, 1000), "is 2.5 m or more; not safe if it is below 2.499 m"),
    ((0, MET, 2.0, NOT_MET, 3.0, MET, 9.0), "is 2 m or less or 3.001 m or more; not safe if it is between 2 and 3 m"),
    ((0, NOT_MET, 2.0, MET, 3.0, NOT_MET, 9.0), "is from 2.001 to 3 m; not safe if it is below 2 m or above 3 m"),
    ((0, MET, 0.0, NOT_MET, 9.0), "is 0 m; not safe if it is above 0 m"),
    ((0, MET, 2.0, JUDGED, 3.0, NOT_MET, 9.0),
     "is 2 m or less; not safe if it is above 3 m; yours to judge if it is from 2.001 to 3 m"),
    ((1, NOT_MET, 2.0, MET, 2.0000001, NOT_MET, 9.0),
     "is from 2.00000001 to 2.0000001 m; not safe if it is below 2 m or above 2.001 m"),
])  # fmt: skip
def test_each_shape_of_answer(ends, words):
    assert touching(GARDEN, *ends) == f"safe if the length of this stretch (route, no. 2) {words}"


def test_a_nought_that_is_no_reading_is_passed_over():
    ends = (0, OPEN, 0.0, MET, 200.0, NOT_MET, 1e4)
    assert touching("electrode.measured_ohm", *ends) == (
        "safe if the resistance of the electrode to earth is 200 Ω or less; not safe if it is above 200 Ω")  # fmt: skip


def test_counts_have_no_unit_and_no_gap():
    words = said("route[0].circuits_together_count", (1, 3, MET), (4, 4, JUDGED), (5, 100, NOT_MET))
    assert words == ("safe if the circuits that run together on this stretch, this one included (route, no. 1) "
                     "are 3 or less; not safe if they are 5 or more; yours to judge if they are 4")  # fmt: skip


def test_sizes_are_named_as_they_are_made():
    words = said("supply.tails.size_mm2", (4, 16, NOT_MET), (25, 35, MET))
    assert words == "safe if the size of the meter tails is 25 mm² or more; not safe if it is 16 mm² or less"


def test_words_and_yes_or_no():
    answers = (Answer("TN-S", MET), Answer("TT", NOT_MET), Answer("TN-C-S", MET))
    earth = Turning("a_rule", "supply.earthing", (), answers)
    assert safe_if(earth) == "safe if the earthing arrangement of the supply is TN-S or TN-C-S; not safe if it is TT"
    looped = Turning("a_rule", "supply.looped", (), (Answer(True, OPEN), Answer(False, MET)))
    question = "whether the service is looped to or from a neighbour"
    assert safe_if(looped) == (f"safe if the answer to “{question}” is no; "
                               "if it is yes, it depends on the other readings")  # fmt: skip


def test_a_label_that_is_a_question_is_not_called_the_whether():
    answers = (Answer("in a space of its own", MET), Answer("in the same space", OPEN))
    beside = Turning("a_rule", "route[0].enclosure.data_beside", (), answers)
    question = "whether a data cable runs in the same conduit or trunking (route, no. 1)"
    assert safe_if(beside) == (f"safe if the answer to “{question}” is in a space of its own; "
                               "if it is in the same space, it depends on the other readings")  # fmt: skip


@pytest.mark.parametrize(("verdict", "words"), [
    (MET, "safe whatever is found"), (NOT_MET, "not safe whatever is found"), (OPEN, "not settled by this alone"),
    (JUDGED, "yours to judge whatever is found"),
])  # fmt: skip
def test_what_does_not_hang_on_it(verdict, words):
    assert said(GARDEN, (0, 1000, verdict)) == f"{words}: length of this stretch (route, no. 2)"
    one_word = Turning("a_rule", "supply.looped", (), (Answer(True, verdict), Answer(False, verdict)))
    assert safe_if(one_word).startswith(words)


@given(st.floats(1e-6, 1e9))
def test_a_bound_is_never_kinder_than_the_number(value):
    assert Decimal(rounded(value, ROUND_FLOOR)) <= Decimal(repr(value)) <= Decimal(rounded(value, ROUND_CEILING))
    assert float(rounded(value, ROUND_FLOOR)) == pytest.approx(value, rel=1e-3)


@pytest.mark.parametrize(("path", "words"), [
    ("electrode.soil_ohm_m", "5 Ω m"), ("supply.ze_ohm", "5 Ω"), ("route[0].soil_k_m_per_w", "5 K m/W"),
    ("route[0].ambient_c", "5 °C"), ("circuit.rcd.idn_ma", "5 mA"), ("generation.arrays[0].tilt_deg", "5°"),
    ("tests.insulation_megohm", "5 MΩ"), ("charge_point.casing_m3", "5 m³"), ("site.built_year", "5"),
    ("sensors[0].class_percent", "5 %"), ("vehicles[0].miles_per_kwh", "5"),
])  # fmt: skip
def test_a_number_wears_the_unit_of_its_field(path, words):
    assert with_unit(path, "5") == words


def test_every_number_of_the_record_has_a_unit_or_needs_none():
    numbers = [path for path, hint in leaves().items() if bare(hint) in (float, Reading)]
    ends = tuple(end for suffix in UNITS for end in (f"_{suffix}", f".{suffix}"))
    bare_numbers = [path for path in numbers if not path.endswith(ends)]
    assert [path for path in bare_numbers if not path.endswith(UNITLESS)] == []
