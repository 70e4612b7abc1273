"""Gas beside the cable, and what a drill, a spade or a rod may meet."""

import pytest
from jobs import house
from sketches import cottage, on, pipe

from ampwright.job.record import Section
from ampwright.reading import assumed, measured
from ampwright.rules.gb.surroundings import drilling_hazards, gas_separation
from ampwright.working import Verdict

MET, NOT_MET, OPEN = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_YET_KNOWN
PIPE, METER = "site.gas.pipe_to_cable_mm", "site.gas.meter_to_equipment_mm"


@pytest.mark.parametrize(
    ("changes", "verdict", "needs"),
    # 25 mm pipe to cable; 150 mm meter to anything that switches, the larger of the figures that disagree
    [
        ({PIPE: measured(25), METER: measured(150)}, MET, ()),
        ({PIPE: measured(24)}, NOT_MET, ()),
        ({METER: measured(149)}, NOT_MET, ()),
        ({METER: measured(30)}, NOT_MET, ()),
        ({PIPE: assumed(10, 50)}, OPEN, (PIPE,)),
        ({METER: assumed(100, 200)}, OPEN, (METER,)),
        ({PIPE: None}, OPEN, (PIPE,)),
        ({METER: None, PIPE: measured(10)}, NOT_MET, ()),
        ({PIPE: None, METER: None}, OPEN, (PIPE, METER)),
        ({"site.gas.fitted": None}, OPEN, ("site.gas.fitted",)),
        ({"site.gas.fitted": False}, Verdict.DOES_NOT_APPLY, ()),
    ],
)
def test_gas_separation(changes, verdict, needs):
    finding = gas_separation(house(changes))
    assert (finding.verdict, finding.needs) == (verdict, needs)


RISER = pipe("gas riser", "gas", [(8171, 2840, 0), (8171, 2840, 2400)])
CHARGE_POINT = on("east", "right", 3000, 1100, width_mm=250, tall_mm=400)


@pytest.mark.parametrize("fitted", [True, False])
def test_gas_that_the_sketch_draws_is_judged_whatever_the_record_says(fitted):
    # riser's middle at 2840, its side at 2851; the charge point's edge at 3000 - 125 = 2875: 24 mm
    job = house({"site.gas.fitted": fitted, "sketch": cottage(services=(RISER,), charge_point=CHARGE_POINT)})
    finding = gas_separation(job)
    assert finding.verdict is NOT_MET
    assert "Gas riser is drawn 24 mm from the charge point; 150 mm is wanted." in finding.says
    assert ("The record says that there is no gas, but the sketch draws gas riser" in finding.says) is not fitted
    assert "gas" in finding.cautions


def test_gas_drawn_well_away_is_no_fault_and_still_asks_for_what_was_not_measured():
    # 2714 + 11 = 2725, 150 mm from the edge
    away = pipe("gas riser", "gas", [(8171, 2714, 0), (8171, 2714, 2400)])
    sketch = cottage(services=(away,), charge_point=CHARGE_POINT)
    assert gas_separation(house({"sketch": sketch})).verdict is MET
    denied = gas_separation(house({"site.gas.fitted": False, PIPE: None, METER: None, "sketch": sketch}))
    assert (denied.verdict, denied.needs) == (OPEN, (PIPE, METER))


def test_gas_shows_both_numbers_and_the_sources_that_disagree():
    finding = gas_separation(house({PIPE: measured(20)}))
    assert "The gas pipe is 20 mm from the cable; 25 mm is wanted." in finding.says
    assert "For a pipe over 35 mm it is 50 mm." in finding.says
    assert finding.says.endswith("set an insulating barrier between.")
    assert finding.cautions == ("gas",)
    said = [step.formula for step in finding.working if step.formula.startswith("switch or socket")]
    assert [text.split(" (")[0] for text in said] == [
        "switch or socket: 150 mm", "switch or socket: 25 mm", "switch or socket: 25 mm"
    ]  # fmt: skip


def test_a_pipe_well_away_needs_no_word_on_large_ones():
    assert "35 mm" not in gas_separation(house({PIPE: measured(50)})).says
    assert "35 mm" in gas_separation(house({PIPE: measured(49)})).says


@pytest.mark.parametrize(
    ("built", "asbestos"),
    # presumed before 2000
    [(measured(1999), True), (measured(2000), False), (None, True), (assumed(1990, 2010), True)],
)
def test_asbestos_is_named_by_the_age_of_the_building(built, asbestos):
    finding = drilling_hazards(house({"site.built_year": built}))
    assert ("asbestos" in finding.cautions) is asbestos
    assert {"drilling", "dust"} <= set(finding.cautions)


def test_every_place_is_named():
    finding = drilling_hazards(house())
    assert finding.verdict is Verdict.FOR_THE_DESIGNER
    assert finding.says.startswith("4 places to look at first: the hole for indoors (cavity wall);")
    assert "the trench for under the garden" in finding.says
    assert "the measuring electrode" in finding.says


def clipped(**changes):
    """A run clipped all along, nothing in the ground, built new, no gas."""
    route = (Section(name="along the wall", method="C"),)
    return house({"route": route, "charge_point.open_pen": "separate device", "site.built_year": measured(2015),
                  "site.gas.fitted": False, **{k.replace("__", "."): v for k, v in changes.items()}})  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "cautions"),
    [
        ({}, ("drilling", "dust")),
        ({"charge_point__mounting": "post"}, ("buried_services",)),
        ({"charge_point__open_pen": "measuring electrode"}, ("drilling", "dust", "buried_services")),
        ({"circuit__earthed_by": "own electrode"}, ("drilling", "dust", "buried_services")),
        ({"route": (Section(name="run", method="D"),)}, ("drilling", "dust", "buried_services")),
        ({"route": (Section(name="run"),)}, ("drilling", "dust", "buried_services")),
        ({"site__gas__fitted": None}, ("drilling", "dust", "gas")),
    ],
)
def test_cautions_follow_the_holes_and_the_digging(changes, cautions):
    assert drilling_hazards(clipped(**changes)).cautions == cautions


def test_what_is_drilled_must_be_known():
    assert drilling_hazards(house({"route": ()})).needs == ("route",)
    finding = drilling_hazards(clipped(charge_point__mounting=None))
    assert (finding.verdict, finding.needs) == (OPEN, ("charge_point.mounting",))
