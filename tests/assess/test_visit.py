"""The visit list against sums by hand, and against the rules asked afresh, without the bench."""

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs import house

from ampwright.assess.assessment import possible_answers
from ampwright.assess.book import BOOK
from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.design import propose
from ampwright.assess.search.bench import RANK
from ampwright.assess.visit import NOT_LOOKED_AT, stage_of, stages, survey, visit
from ampwright.facts import look_up_text
from ampwright.job.fields import fields
from ampwright.job.paths import at, replaced
from ampwright.job.record import Section
from ampwright.reading import assumed, measured
from ampwright.working import Verdict

HEAD, *ROWS = (Path(__file__).parent / "search" / "small_catalogue.csv").read_text(encoding="utf-8").splitlines()
THINNED = ("protection", "earthing", "load cap", "cable")
KEPT = ("b32", "window", "none", "wire", "radio", "flat 6")
CUTOUT, LENGTH, WAY = "supply.cutout.rating_a", "route[0].length_m", "installation.spare_way"
NEW_BOARD = "board,new,a new board,,,10000,50,0,0,0,0,"


@cache
def catalogue(*more: str) -> Any:
    """One device, one cable, no cap or a cap of 76 A; an hour is £60, so a minute £1."""
    rows = [row for row in ROWS if row.split(",")[0] not in THINNED or row.split(",")[1] in KEPT]
    rows = [row.replace("a free way,,,", "a free way,,installation.spare_way!=false,") for row in rows]
    return read_catalogue("\n".join([HEAD, *rows, *more]))


def job(**changes):
    """A house with one stretch of 8 m clipped to a wall; `changes` by path, __ for a dot."""
    stretch = Section(name="stretch", method="C", length_m=measured(8), ambient_c=measured(30), outdoors=False,
                      circuits_together_count=measured(1), insulation_mm=measured(0))  # fmt: skip
    return house({"route": (stretch,), **{path.replace("__", "."): value for path, value in changes.items()}})


def found(listed, path):
    return next(each for each in listed.items if each.path == path)


def paths(listed):
    return {each.path for each in listed.items}


@cache
def cutout_60_to_100():
    return survey(job(supply__cutout__rating_a=assumed(60, 100)), catalogue())


def test_the_cutout_decides_the_price_of_the_load_cap():
    # Lights 0.66 x 6 A, cooker 10 A + 0.3 x 20 A, sockets 32 A, car 32 A: 83.96 A. Below that the cap of 76 A is
    # wanted, and a cut-out of as much. The cap: £40, a lead of 8 m at 80 p, 20 min and 8 min at £1: £74.40; with VAT
    # at 20 % £89.28.
    none, capped, free = found(cutout_60_to_100(), CUTOUT).decided

    assert (none.design, none.low, none.high) == (None, 60, pytest.approx(76, abs=1e-6))
    assert (capped.low, capped.high) == (pytest.approx(76, abs=1e-6), pytest.approx(83.96, abs=1e-6))
    assert (free.low, free.high) == (pytest.approx(83.96, abs=1e-6), 100)
    assert capped.pence[0] - free.pence[0] == 8928
    assert capped.design.choices["load cap"].id == "wire"
    assert free.design.choices["load cap"].id == "none"


def test_the_price_itself_is_the_sum_by_hand():
    # Charge point £500 and 60 min, device £35 and 15 min, window £30, 8 m of cable and two ends as the catalogue has it
    cable = next(row for row in ROWS if row.startswith("cable,flat 6")).split(",")
    pence, minutes, per_m, minutes_per_m, per_end, minutes_per_end = map(int, cable[-7:-1])
    net = 50000 + 6000 + 3500 + 1500 + 3000 + pence + 8 * per_m + 2 * per_end
    net += 100 * (minutes + round(8 * minutes_per_m) + 2 * minutes_per_end)

    assert found(cutout_60_to_100(), CUTOUT).decided[-1].pence == (round(net * 1.2), round(net * 1.2))


def test_a_design_that_the_front_left_out_is_found_where_it_is_wanted():
    # With a cut-out of 60 to 100 A both stand or fall by it and the cap only costs: it is not on the front
    proposal = cutout_60_to_100().proposal

    assert {design.choices["load cap"].id for design in proposal.front if design.power_kw > 7} == {"none"}
    assert found(cutout_60_to_100(), CUTOUT).decided[1].design.choices["load cap"].id == "wire"


def test_the_cheapest_under_an_answer_is_what_a_new_search_finds():
    # The job entered afresh with the answer as a reading, searched on its own
    for each in found(cutout_60_to_100(), CUTOUT).decided:
        for answer in (each.low, each.high):
            front = propose(job(**{CUTOUT: measured(answer)}), catalogue()).front
            prices = [design.price.high_pence for design in front if design.power_kw > 7]
            assert min(prices, default=None) == (each.pence[0] if each.pence else None)


def test_says_where_the_check_turns():
    turning = next(each for each in found(cutout_60_to_100(), CUTOUT).turnings if each.rule == "cutout_carries_demand")

    assert turning.verdict_at(83.97) is Verdict.MET
    assert turning.verdict_at(83.95) is Verdict.NOT_MET


def test_what_no_rule_asks_but_the_price_hangs_on_is_listed():
    # A new board: £100 and 50 min at £1 is £150, with VAT at 20 % £180
    listed = survey(job(installation__spare_way=None), catalogue(NEW_BOARD))
    yes, no = found(listed, WAY).decided

    assert (yes.low, no.low) == (True, False)
    assert no.pence[0] - yes.pence[0] == 18000


def test_a_length_on_which_no_check_hangs_moves_the_price():
    # 5 m more of cable, and nothing else
    cable = next(row for row in ROWS if row.startswith("cable,flat 6")).split(",")
    per_m, minutes_per_m = int(cable[-5]), int(cable[-4])
    listed = survey(job(**{LENGTH: assumed(5, 10)}), catalogue())
    ((path, (only,)),) = listed.moves_price

    assert path == LENGTH
    assert LENGTH not in (*paths(listed), *listed.not_needed)
    assert only.pence is not None
    assert only.pence[1] - only.pence[0] == pytest.approx(1.2 * 5 * (per_m + 100 * minutes_per_m), abs=1)


@pytest.mark.parametrize("changes", [{}, {"supply__ze_ohm": assumed(0.1, 0.3)}, {"supply__pfc_ka": assumed(0.5, 3)}])
def test_what_need_not_be_looked_at_changes_no_check_at_its_ends(changes):
    listed = survey(job(**changes), catalogue())

    assert {path.replace("__", ".") for path in changes} <= set(listed.not_needed)
    assert listed.proposal is not None
    for design in listed.proposal.front:
        before = {rule.name: RANK[rule(design.job).verdict] for rule in BOOK.regulations}
        for path in listed.not_needed:
            for answer in possible_answers(design.job, path):
                tried = replaced(design.job, path, answer)
                assert all(RANK[rule(tried).verdict] <= before[rule.name] for rule in BOOK.regulations), path


def test_what_an_unusual_answer_would_change_is_not_called_needless():
    # A cut-out that looks broken stops the job, though no check asks while nobody has looked
    listed = survey(job(supply__cutout__sound=None), catalogue())

    assert "supply.cutout.sound" in (*listed.usual, *paths(listed))
    assert "supply.cutout.sound" not in listed.not_needed


def test_what_the_design_decides_is_not_to_be_read():
    listed = survey(job(), catalogue())

    assert "route[0].cable.size_mm2" in listed.chosen
    assert not paths(listed)
    assert listed.exit_status == 0


def test_what_every_design_fixes_is_neither_needless_nor_usual():
    # The catalogue's one open-PEN choice sets it, whatever the maker's instructions would have said
    listed = survey(job(charge_point__open_pen=None), catalogue())

    assert "charge_point.open_pen" in listed.chosen
    assert "charge_point.open_pen" not in (*paths(listed), *listed.not_needed, *listed.usual)


def test_what_only_some_designs_replace_is_still_read():
    # Tails of 16 to 25 mm² may be kept or renewed, so they are not chosen with the design
    listed = survey(job(supply__tails__size_mm2=assumed(16, 25)), catalogue())

    assert "supply.tails.size_mm2" not in listed.chosen
    assert "supply.tails.size_mm2" in (*paths(listed), *listed.not_needed, *listed.usual)


def test_without_a_route_the_list_comes_from_the_job_as_entered():
    entered = house({"route": (), CUTOUT: assumed(60, 100)})
    listed = survey(entered, catalogue())

    assert listed.proposal is None
    assert "The route is wanted" in listed.why_no_money
    assert {CUTOUT, "route"} <= paths(listed)
    assert all(not each.decided for each in listed.items)
    assert all(len(set(each.unknown.asked_by)) == len(each.unknown.asked_by) for each in listed.items)
    assert listed.exit_status == 2


def test_where_no_design_stands_it_says_so():
    listed = survey(job(installation__main_bonding_mm2=measured(1), site__listed=None), catalogue())

    assert listed.proposal is None
    assert "No design" in listed.why_no_money
    assert "site.listed" in paths(listed)


def test_every_field_has_its_stage_and_the_visit_its_order():
    for path in fields():
        assert stage_of(path).name
    named = [stage_of(path).name for path in (
        "site.listed", "site.dwelling", "supply.tails.size_mm2", "installation.main_switch_a", LENGTH,
        "charge_point.guarded_from_knocks", "electrode.soil_ohm_m", "supply.ze_ohm")]  # fmt: skip

    assert named == list(dict.fromkeys(each.name for each in stages()))


@pytest.mark.parametrize(("path", "caution"), [
    (CUTOUT, None), ("supply.tails.size_mm2", "supplier_seals"), ("supply.ze_ohm", "live_test"),
    ("route[0].depth_m", "buried_services"), ("electrode.soil_ohm_m", "buried_services"),
    ("site.gas.pipe_to_cable_mm", "gas"), ("route[1].through", "drilling"),
])  # fmt: skip
def test_cautions_stand_at_the_hazard(path, caution):
    assert caution in stage_of(path).cautions or caution is None


def test_every_caution_is_in_the_book():
    assert all(look_up_text("gb/cautions", "text", id=each) for stage in stages() for each in stage.cautions)


def test_what_decides_most_stands_first():
    open_job = job(supply__cutout__rating_a=assumed(80, 100), site__listed=None, site__scheduled_monument=None)
    listed = survey(open_job, catalogue())
    items = dict(listed.by_stage)["before you go"]

    # listed or not decides whether there is a design at all, the cut-out £89.28, so the cut-out comes last
    assert items[-1].path == CUTOUT
    assert all(each.none_stands for each in items[:-1])


@settings(max_examples=8, deadline=None)
@given(low=st.integers(60, 84), high=st.integers(84, 100), share=st.floats(0, 1))
def test_an_exact_reading_adds_nothing_to_the_list_but_what_the_rules_then_ask(low, high, share):
    ranged = replaced(job(), CUTOUT, assumed(low, high))
    read = replaced(ranged, CUTOUT, measured(low + share * (high - low)))
    before, after = visit(ranged, None), visit(read, None)
    asked = {need for rule in BOOK.regulations for need in rule(read).needs}

    assert CUTOUT not in paths(after)
    assert paths(after) - paths(before) <= asked
    assert all(at(read, path) is None or not at(read, path).exact for path in paths(after) - {"route"})


def test_a_choice_of_the_installers_is_never_called_needless():
    needless = (*survey(job(), catalogue()).not_needed, *cutout_60_to_100().not_needed)

    assert all(fields()[path.replace("[0]", "[]").replace("[1]", "[]").replace("[2]", "[]")].instrument
               not in NOT_LOOKED_AT for path in needless)  # fmt: skip


def test_a_catalogue_that_has_nothing_under_an_answer_has_no_design_there():
    # the only row for tails is had where they are over 20 mm2: of 16 mm2 nothing stands, and that is an answer
    rows = [row for row in ROWS if not row.startswith("tails,")]
    only = "tails,keep,keep the meter tails,,supply.tails.size_mm2>20,0,0,0,0,0,0,"
    offers = read_catalogue("\n".join([HEAD, *rows, only]))
    item = found(survey(job(supply__tails__size_mm2=assumed(16, 25)), offers), "supply.tails.size_mm2")
    assert [(each.low, each.design is None) for each in item.decided] == [(16, True), (25, False)]
