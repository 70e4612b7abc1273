"""What must hold of every search, whatever the house: harder never takes less copper, and knowing more never harms."""

from functools import cache, partial
from math import inf
from pathlib import Path

import pytest
from families import family, lawful_sizes_mm2
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs import change, house

from ampwright.assess.assessment import assess
from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.design import STANDS_JUDGED, STANDS_SAFE, designed, propose
from ampwright.assess.search.search import Found, Search
from ampwright.deliver.demo import demo_files
from ampwright.job.files import parse
from ampwright.job.record import Section
from ampwright.reading import assumed, measured
from ampwright.working import Verdict

ARMOURED_MM2 = (1.5, 2.5, 4, 6, 10, 16, 25, 35)
FLAT_MM2 = (1, 1.5, 2.5, 4, 6, 10, 16)
DEVICES = {f"B{rating_a}": f"circuit.device.rating_a={rating_a}" for rating_a in (16, 20, 25, 32, 40, 50, 63)}
FAMILIES = {
    "armoured 90": partial(family, "armoured_90c", ARMOURED_MM2),
    "armoured 70 by its armour": partial(family, "armoured_70c", ARMOURED_MM2, 2, "armour"),
    "flat": partial(family, "flat_twin_and_earth", FLAT_MM2, 2),
    "singles": partial(family, "singles_70c", ARMOURED_MM2, cpcs_mm2=ARMOURED_MM2),
}
LAID = (("armoured 90", "C"), ("armoured 90", "D"), ("armoured 90", "E"), ("armoured 70 by its armour", "C"),
        ("armoured 70 by its armour", "D"), ("flat", "C"), ("flat", "A"), ("singles", "B"))  # fmt: skip
# As far as the tables go (60 C for 70 C cable, 6 circuits in the ground): past their end no size is known to carry
# the current, the rule leaves all of them to a person, and the property would say nothing.
HARDER = {"length_m": st.floats(0, 300), "ambient_c": st.floats(-5, 60),
          "circuits_together_count": st.integers(1, 6).map(float)}  # fmt: skip


@st.composite
def stretches(draw):
    """A stretch of a family laid in some way, with readings that are each easy enough for some size."""
    name, method = draw(st.sampled_from(LAID))
    return name, Section(
        name="run", method=method, length_m=measured(draw(st.floats(1, 60))),
        ambient_c=measured(draw(st.floats(-5, 50))), outdoors=False, insulation_mm=measured(0),
        circuits_together_count=measured(draw(st.sampled_from((1.0, 2.0, 3.0)))), depth_m=measured(0.6),
        arrangement=draw(st.sampled_from(("bunched", "single_layer_wall_touching"))), buried_spacing="touching",
        soil_k_m_per_w=measured(draw(st.sampled_from((1.5, 2.5, 3.0)))),
    )  # fmt: skip


def smallest_mm2(job, catalogue):
    """The smallest size that no check says no to; infinite where there is none."""
    return min(lawful_sizes_mm2(job, catalogue), default=inf)


@pytest.mark.parametrize("reading", HARDER)
@settings(max_examples=25, deadline=None, derandomize=True)
@given(laid=stretches(), data=st.data(), rating_a=st.sampled_from((20.0, 32.0, 40.0)))
def test_a_harder_route_never_makes_a_smaller_size_lawful(reading, laid, data, rating_a):
    name, section = laid
    easy, hard = sorted(data.draw(st.tuples(HARDER[reading], HARDER[reading])))
    job = house({"route": (section,), "circuit.device.rating_a": rating_a, "charge_point.rated_a": 20})
    sizes_mm2 = [smallest_mm2(change(job, {f"route[0].{reading}": measured(each)}), FAMILIES[name]())
                 for each in (easy, hard)]  # fmt: skip

    assert sizes_mm2[0] <= sizes_mm2[1]


@settings(max_examples=25, deadline=None, derandomize=True)
@given(laid=stretches(), currents_a=st.tuples(st.floats(6, 63), st.floats(6, 63)))
def test_a_higher_current_never_makes_a_smaller_size_lawful(laid, currents_a):
    name, section = laid
    catalogue = FAMILIES[name](devices=DEVICES)
    sizes_mm2 = [smallest_mm2(house({"route": (section,), "charge_point.rated_a": each}), catalogue)
                 for each in sorted(currents_a)]  # fmt: skip

    assert sizes_mm2[0] <= sizes_mm2[1]


@pytest.mark.parametrize(("reading", "easy", "hard"), [
    ("length_m", 20, 60), ("ambient_c", 20, 50), ("circuits_together_count", 1, 6)])  # fmt: skip
def test_what_is_harder_does_want_more_copper_somewhere(reading, easy, hard):
    section = Section(name="run", method="C", length_m=measured(20), ambient_c=measured(30), arrangement="bunched",
                      insulation_mm=measured(0), circuits_together_count=measured(1), outdoors=False)  # fmt: skip
    job, catalogue = house({"route": (section,)}), FAMILIES["flat"]()
    sizes_mm2 = [smallest_mm2(change(job, {f"route[0].{reading}": measured(each)}), catalogue)
                 for each in (easy, hard)]  # fmt: skip

    assert sizes_mm2[0] < sizes_mm2[1] < inf


SMALL = (Path(__file__).parent / "search" / "small_catalogue.csv").read_text(encoding="utf-8")
RANGES = {
    "supply.ze_ohm": (0.1, 0.34), "supply.pfc_ka": (0.8, 3), "supply.tails.length_m": (1, 2.5),
    "installation.loads[1].current_a": (10, 30), "route[0].length_m": (4, 30), "route[1].length_m": (10, 22),
    "route[1].depth_m": (0.5, 0.8), "route[1].ambient_c": (8, 20), "route[1].soil_k_m_per_w": (1.5, 2.5),
    "route[0].ambient_c": (15, 60), "charge_point.other_earth_within_m": (3, 12),
}  # fmt: skip
ON_A_ROD = {"supply.earthing": "TT", "electrode.fitted": True, "electrode.measured_ohm": assumed(40, 180),
            "supply.ze_ohm": assumed(15, 21)}  # fmt: skip


def ranged(changes=None):
    route = tuple(Section(name=f"stretch {method}", method=method, circuits_together_count=measured(1), outdoors=False,
                          insulation_mm=measured(0)) for method in ("C", "D"))  # fmt: skip
    ranges = {path: assumed(*ends) for path, ends in RANGES.items()}
    return house({"route": route, **ranges, **(changes or {})})


SAFE = (STANDS_SAFE, STANDS_JUDGED)
JOBS: dict[str, dict[str, object]] = {"TN-C-S": {}, "TT": ON_A_ROD}
PATHS = {"TN-C-S": RANGES, "TT": {**RANGES, "electrode.measured_ohm": (40, 180), "supply.ze_ohm": (15, 21)}}


@cache
def proposed(name):
    """The proposal for a house of ranges, with the small catalogue."""
    return propose(ranged(JOBS[name]), read_catalogue(SMALL))


def read_exactly(data, name):
    """Ranges read, as exact readings by path: each at some share or left alone, or all of them at one end."""
    paths = PATHS[name]
    count, some = len(paths), st.none() | st.floats(0, 1)
    shares = data.draw(st.sampled_from(((0.0,) * count, (1.0,) * count)) | st.tuples(*[some] * count))
    return {path: measured(min(max(low + share * (high - low), low), high))
            for (path, (low, high)), share in zip(paths.items(), shares, strict=True) if share is not None}  # fmt: skip


@pytest.mark.parametrize("name", JOBS)
def test_the_ranges_leave_designs_that_are_safe_whatever_the_survey_finds(name):
    assert any(each.standing in SAFE for each in proposed(name).front)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(name=st.sampled_from(sorted(JOBS)), data=st.data())
def test_a_reading_never_turns_safe_into_anything_less(name, data):
    safe = [each for each in proposed(name).front if each.standing in SAFE]
    design, known = data.draw(st.sampled_from(safe)), read_exactly(data, name)

    found = assess(change(design.job, known))
    assert [(each.rule, each.says) for each in found.checks
            if each.verdict in (Verdict.NOT_MET, Verdict.NOT_YET_KNOWN)] == []  # fmt: skip


@settings(max_examples=30, deadline=None, derandomize=True)
@given(name=st.sampled_from(sorted(JOBS)), data=st.data())
def test_the_price_band_holds_the_price_at_any_exact_length_in_it(name, data):
    proposal = proposed(name)
    known = {path: reading for path, reading in read_exactly(data, name).items() if path.endswith("length_m")}
    search = Search(change(proposal.search.space.job, known), proposal.search.space.catalogue)
    assert search.routes.cells.tolist() == proposal.search.routes.cells.tolist()

    for each in proposal.front:
        figures = (0.0, 0.0, each.lost_kwh_per_mwh, -each.power_kw)
        exact = designed(search, Found(tuple(each.choices.values()), each.cables, each.way, figures))
        assert each.price.net_low_pence <= exact.price.net_low_pence <= exact.price.net_high_pence
        assert exact.price.net_high_pence <= each.price.net_high_pence
        assert each.price.low_pence <= exact.price.low_pence <= exact.price.high_pence <= each.price.high_pence
        assert each.minutes[0] <= exact.minutes[0] <= exact.minutes[1] <= each.minutes[1]


def test_the_price_band_is_the_sum_done_by_hand():
    # One stretch of 10 to 20 m in the one cable at 200 p/m, 4 min/m, ends 100 p and 5 min each, at 6000 p an hour:
    # 2 x 100 + 200 L + (4 L + 2 x 5) x 100 = 1200 + 600 L pence: 7200 and 13200; minutes 4 L + 10: 50 and 90.
    # Besides: unit 50000 p, 60 min; B32 3500 p, 15 min; window 3000 p: 56500 + 75 x 100 = 64000 pence, 75 min
    left = ("charging,16", "protection,c", "protection,b40", "protection,b32 one", "protection,b16",
            "earthing,separate", "earthing,none", "load cap,wire", "load cap,radio", "cable,flat 6",
            "cable,arm")  # fmt: skip
    catalogue = read_catalogue("\n".join(row for row in SMALL.splitlines() if not row.startswith(left)))
    section = Section(name="run", method="C", length_m=assumed(10, 20), ambient_c=measured(30), outdoors=False,
                      insulation_mm=measured(0), circuits_together_count=measured(1))  # fmt: skip
    (design,) = propose(house({"route": (section,)}), catalogue).front

    assert (design.price.net_low_pence, design.price.net_high_pence) == (71200, 77200)
    assert design.minutes == (125, 165)
    # VAT at 20 %
    assert (design.price.low_pence, design.price.high_pence) == (85440, 92640)


@pytest.mark.parametrize("name", JOBS)
def test_nothing_on_the_front_fails_a_check_when_judged_afresh(name):
    assert failing(proposed(name)) == []


def test_nothing_on_the_front_of_the_shipped_catalogue_fails_a_check_when_judged_afresh():
    job = parse(demo_files()["house_with_garage.yaml"])
    assert failing(propose(job, read_catalogue())) == []


def failing(proposal):
    """The checks that designs on the front fail, each judged by the whole book anew."""
    assert proposal.front
    return [(each.words, check.rule, check.says) for each in proposal.front for check in assess(each.job).checks
            if check.verdict is Verdict.NOT_MET]  # fmt: skip
