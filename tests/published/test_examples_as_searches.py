"""Published examples that choose a size (worked_examples.json has each source), put to the search as jobs.

The load is a charge point of that current on one stretch; the catalogue has one family of cable in every size that
the tables hold. Where ours is not the size printed, the test shows which rule parts them, and by which figures.
Left out: WE01 (a ring, which the record has not), WE12 (an aluminium conductor, which no cable of the record has),
WE16 (a 70 mm² cable, beyond the tables, and a size that was not chosen but found), and those that choose no size.
"""

import json
from pathlib import Path

from families import family, lawful_sizes_mm2, not_met
from jobs import house

from ampwright.assess.book import BOOK
from ampwright.assess.search.bench import JUDGED, SETTLED
from ampwright.assess.search.search import Search
from ampwright.job.record import Load, Section
from ampwright.reading import measured
from ampwright.working import Verdict

FILE = Path(__file__).with_name("worked_examples.json")
EXAMPLES = {each["id"]: each for each in json.loads(FILE.read_text(encoding="utf-8"))}
ARMOURED_MM2 = (1.5, 2.5, 4, 6, 10, 16, 25, 35)


def example(name):
    return EXAMPLES[name]["inputs"], EXAMPLES[name]["published_answer"]


def posed(length_m, rated_a, device, method="C", **changes):
    """One stretch with nothing against it but its length: single, at 30 C, in no insulation."""
    section = Section(name="run", length_m=measured(length_m), method=method, ambient_c=measured(30), outdoors=False,
                      circuits_together_count=measured(1), insulation_mm=measured(0))  # fmt: skip
    devices = {f"circuit.device.{field}": value for field, value in device.items()}
    return house({"route": (section,), "charge_point.rated_a": rated_a, **devices, **changes})


HUNDRED_AMPERES = {
    "supply.phases": 3, "charge_point.phases": 3, "charge_point.line": "all", "circuit.rcd.poles": 4,
    "installation.loads": tuple(Load(name=line, purpose="lighting", current_a=measured(0), line=line)
                                for line in ("L1", "L2", "L3")),
    "generation.fitted": False,
}  # fmt: skip
FUSE = {"kind": "bs88_2", "curve": None, "rating_a": 100.0, "breaking_ka": 80.0, "energy_class": None}


def hundred_amperes(length_m):
    return posed(length_m, 100.0, FUSE, **HUNDRED_AMPERES), family("armoured_70c", ARMOURED_MM2, 4, "armour")


def test_we06_a_limit_twice_as_wide_takes_half_the_copper():
    """The print takes 70 mm² since it allows 10.5 V (2.5 % of 415 V, an old limit); 5 % of 400 V is 20 V.

    35 mm² loses the 16.5 V of the print, and 25 mm² would lose 22.5 V (1.5 mV/A/m, not in the print).
    """
    given, answer = example("WE06")
    job, catalogue = hundred_amperes(given["length_m"])

    assert lawful_sizes_mm2(job, catalogue) == [given["size_mm2"]]
    refused = not_met(job, catalogue, ARMOURED_MM2.index(25))
    assert refused == {"voltage_drop": "22.5 V dropped; limit 19.9 V (5 %)."}
    assert answer["Vd_V"] > given["limit_V"]


def test_we06_with_the_limit_of_the_print_wants_more_than_35_mm2():
    """Over 150 m x 19.92 / 10.5 our limit a metre is that of the print, which finds no size up to 35 mm² enough.

    70 mm² is beyond the tables (the rating and drop of 50 mm² and above are not held), so it cannot be found here.
    """
    given, answer = example("WE06")
    # 5 % of sqrt(3) x 230 V = 19.919 V
    job, catalogue = hundred_amperes(given["length_m"] * 19.919 / given["limit_V"])

    assert lawful_sizes_mm2(job, catalogue) == []
    assert "voltage_drop" in not_met(job, catalogue, ARMOURED_MM2.index(35))
    assert answer["size_mm2"] > max(ARMOURED_MM2)


BREAKER = {"kind": "rcbo", "curve": "B", "rating_a": 25.0, "breaking_ka": 6.0, "energy_class": 3}


def summerhouse(length_m):
    given, _ = example("WE07")
    job = posed(length_m, given["load_W"] / given["U"], BREAKER)
    return job, family("armoured_90c", ARMOURED_MM2, 2, "armour")


def test_we07_summerhouse_takes_4_mm2_where_5_percent_may_be_lost():
    """The print takes 6 mm² for its 3.0 %; at a charge point 11.5 V (5 %) may be lost and 4 mm² loses 10.44 V."""
    given, answer = example("WE07")
    job, catalogue = summerhouse(given["length_m"])

    assert lawful_sizes_mm2(job, catalogue)[0] == 4
    # 2.5 mm²: 19 mV/A/m x 40 m x 21.739 A = 16.5 V
    assert not_met(job, catalogue, ARMOURED_MM2.index(2.5))["voltage_drop"].startswith("16.6 V dropped")
    assert 0.03 * given["U"] < answer["Vd_4_V"] < 0.05 * given["U"]


def test_we07_summerhouse_takes_6_mm2_at_the_limit_of_the_print():
    """Over 40 m x 5 / 3 our 5 % is the 3 % of the print: its 6 mm² (6.87 of 6.9 V) is the smallest that passes."""
    given, _ = example("WE07")
    job, catalogue = summerhouse(given["length_m"] * 5 / 3)

    assert lawful_sizes_mm2(job, catalogue)[0] == 6
    assert set(not_met(job, catalogue, ARMOURED_MM2.index(4))) == {"voltage_drop"}


SINGLES_MM2 = (1.5, 2.5, 4, 6)


def socket_circuit(energy_class):
    given, _ = example("WE14")
    device = {**BREAKER, "rating_a": 16.0, "energy_class": energy_class}
    job = posed(0, 16.0, device, "B", **{"supply.ze_ohm": measured(given["Zs"])})
    return job, family("singles_70c", SINGLES_MM2, cpcs_mm2=SINGLES_MM2)


def test_we14_singles_for_a_16_a_breaker():
    """The print calls for 2.4 mm² and so takes 2.5 mm², and so does the search, with a class 3 breaker of 6 kA.

    At most 35 000 A²s come through, and 2.5 mm² stands (115 x 2.5)² = 82 656. 1.5 mm² would stand 29 756, and is
    under the least size of a separate earth in conduit as well.
    """
    _, answer = example("WE14")
    job, catalogue = socket_circuit(3)

    assert lawful_sizes_mm2(job, catalogue, SETTLED)[0] == 2.5
    assert SINGLES_MM2[0] < answer["S_mm2"] <= 2.5
    assert "wants 2.5 mm²" in not_met(job, catalogue, 0)["protective_conductor_size"]


def test_we14_of_unknown_energy_class_takes_a_size_more():
    """Without the class 0.1 s counts, at the highest voltage: 1.1 x 2.432 = 2.68 mm² (the print takes 230 V)."""
    job, catalogue = socket_circuit(None)

    assert lawful_sizes_mm2(job, catalogue, SETTLED)[0] == 4


CPCS_MM2 = (1, 1.5, 2.5, 4)


def behind_half_an_ohm():
    given, _ = example("WE11")
    supply = {"supply.earthing": "TN-S", "supply.ze_ohm": measured(given["Zs"])}
    job = posed(0, 32.0, {**BREAKER, "rating_a": 32.0}, **supply)
    return job, family("flat_twin_and_earth", (6,) * len(CPCS_MM2), 2, cpcs_mm2=CPCS_MM2)


def verdicts(rule, job, catalogue):
    """How that rule judges each cable of the family."""
    space = Search(job, catalogue).space
    picked = [space.choices[axis][0] for axis in space.axes]
    judge = BOOK.regulation(rule)
    return [judge(space.designed(picked, (cable,))).verdict for cable in space.stretches[0]]


def test_we11_protective_conductor_behind_a_32_a_breaker():
    """The print chooses 1.5 mm² for 1.26 (ours: 1.39, at 1.1 of the voltage), and so does the rule that it applies.

    Ours is 2.5 mm² in the end: a class 3 B32 of 6 kA may let 45 000 A²s through where the fault is at the board,
    which the print does not look at, and (115 x 1.5)² is 29 756.
    """
    _, answer = example("WE11")
    job, catalogue = behind_half_an_ohm()

    by_size = verdicts("protective_conductor_size", job, catalogue)
    assert CPCS_MM2[by_size.index(Verdict.MET)] == answer["choose_mm2"]
    assert lawful_sizes_mm2(job, catalogue, SETTLED, "cpc_mm2")[0] == 2.5
    assert verdicts("let_through_energy", job, catalogue)[:3] == [
        Verdict.FOR_THE_DESIGNER, Verdict.FOR_THE_DESIGNER, Verdict.MET]  # fmt: skip


def test_we02_flat_cable_behind_a_semi_enclosed_fuse():
    """The print has 2.5 mm² with 1.5 mm² of earth for a 3 kW heater and finds the earth more than enough.

    It is also the smallest flat cable: 1.5 mm² clipped direct carries 20 A, and 20 x 0.725 = 14.5 A is under 15 A.
    """
    given, answer = example("WE02")
    fuse = {"kind": "bs3036", "curve": None, "rating_a": 15.0, "breaking_ka": 2.0, "energy_class": None}
    sizes_mm2 = (1, 1.5, 2.5, 4)
    job, catalogue = posed(10, 3000 / 230, fuse), family("flat_twin_and_earth", sizes_mm2, 2)

    assert answer["ok"]
    assert lawful_sizes_mm2(job, catalogue, JUDGED)[0] == given["line_mm2"]
    assert "carries 14.5 A" in not_met(job, catalogue, 1)["cable_carries_device_rating"]
