"""Published examples of cable sizing (worked_examples.json has each source), judged as whole jobs."""

import json
from pathlib import Path

import pytest
from intake import printed
from jobs import house

from ampwright.facts import look_up, look_up_at_least
from ampwright.job.record import Cable, Section
from ampwright.reading import measured
from ampwright.rules.gb.voltage_drop import voltage_drop

FILE = Path(__file__).with_name("worked_examples.json")
EXAMPLES = {each["id"]: each for each in json.loads(FILE.read_text(encoding="utf-8"))}


def example(name):
    return EXAMPLES[name]["inputs"], EXAMPLES[name]["published_answer"]


def drop(kind, size_mm2, length_m, current_a, **changes):
    cable = Cable(kind=kind, size_mm2=size_mm2, cores_count=2, cpc="armour")
    section = Section(name="run", cable=cable, length_m=measured(length_m), method="C")
    return voltage_drop(house({"route": (section,), "charge_point.rated_a": current_a, **changes}))


def test_we06_hundred_amperes_on_three_phases():
    """The example takes 2.5 % of 415 V, an old limit, and once prints 1000 A for 100 A; the sums are right."""
    given, answer = example("WE06")
    finding = drop("armoured_70c", given["size_mm2"], given["length_m"], given["I_A"],
                   **{"charge_point.phases": 3, "supply.phases": 3})  # fmt: skip

    assert printed(finding, "mVAm") == given["mVAm"]
    assert printed(finding, "Vd") == pytest.approx(answer["Vd_V"])
    # 10.5 V over 150 m at 100 A leaves 0.7 mV/A/m: what is lost, over what may be, times the 1.1 of the cable
    needed = given["limit_V"] / printed(finding, "Vd") * printed(finding, "mVAm")
    assert needed == pytest.approx(answer["needed_mVAm"])


@pytest.mark.parametrize("size_mm2", [4, 6])
def test_we07_summerhouse(size_mm2):
    """The example prints 6.9 V for 6 mm2, rounded up from 6.87 V."""
    given, answer = example("WE07")
    finding = drop("armoured_90c", size_mm2, given["length_m"], given["load_W"] / given["U"])

    assert printed(finding, "mVAm") == given["mVAm"][str(size_mm2)]
    assert printed(finding, "Vd") == pytest.approx(answer[f"Vd_{size_mm2}_V"], abs=0.035)
    if size_mm2 == 6:
        assert 100 * printed(finding, "Vd") / given["U"] == pytest.approx(answer["Vd_6_percent"], abs=0.05)


def test_we22_six_singles_in_conduit():
    """The sum of terms and the smallest conduit that holds it, from the tables alone: no rule reads them yet."""
    given, answer = example("WE22")
    term = look_up("gb/conduit_terms", "term_count", run="straight_to_3_m", build="stranded", size_mm2=given["size"])
    total = given["n"] * term.value

    assert term.value == given["factor"]
    assert total == answer["sum"]
    conduit = look_up_at_least("gb/conduit_capacity", "conduit_mm", "term_count", total, run="straight_to_3_m")
    assert conduit.value == answer["conduit_mm"]
