"""Tails, main switch and busbar against what the supply and the other sources can send through them."""

import pytest
from intake import amps, intake, limiter, printed

from ampwright.reading import assumed, measured
from ampwright.rules.gb.demand_sources import (
    busbar_carries_demand,
    main_switch_carries_demand,
    tails_carry_demand,
)
from ampwright.working import Verdict

LOADS, CUTOUT, TAILS = "installation.loads", "supply.cutout.rating_a", "supply.tails.size_mm2"
SWITCH, BUSBAR = "installation.main_switch_a", "installation.busbar_a"


def tails(changes):
    return tails_carry_demand(intake(changes))


def switch(changes):
    return main_switch_carries_demand(intake(changes))


def busbar(changes):
    return busbar_carries_demand(intake(changes))


@pytest.mark.parametrize(
    ("cutout_a", "size_mm2", "verdict"),
    # BS 7671 Table 4D1A, method C, two loaded: 16 mm2 87 A, 25 mm2 114 A, 35 mm2 141 A. The house and car need 88 A.
    [(80, 16, Verdict.NOT_MET), (80, 25, Verdict.MET), (100, 25, Verdict.MET), (100, 16, Verdict.NOT_MET)],
)
def test_tails_carry_the_larger_of_demand_and_cut_out(cutout_a, size_mm2, verdict):
    assert tails({CUTOUT: measured(cutout_a), TAILS: measured(size_mm2)}).verdict is verdict


def test_tails_say_which_governs():
    by_fuse, by_demand = tails({}), tails({CUTOUT: measured(80), TAILS: measured(16)})

    assert by_fuse.says == "The cut-out lets 100 A flow and governs (house and car need 88.0 A); the tails carry 114 A."
    assert by_demand.says == "House and car need 88.0 A and govern (the cut-out is 80 A); the tails carry 87 A."
    assert printed(by_demand, "Imax") == pytest.approx(88)


@pytest.mark.parametrize(("house_a", "verdict"), [(55.0, Verdict.MET), (55.1, Verdict.NOT_MET)])
def test_tails_turn_at_their_rating(house_a, verdict):
    # 16 mm2 carries 87 A = 55 + 32
    assert tails({CUTOUT: measured(80), TAILS: measured(16), LOADS: amps(house_a)}).verdict is verdict


def test_a_rewirable_cut_out_protects_less():
    # 0.725 x 114 = 82.65 A, below the 100 A fuse
    check = tails({"supply.cutout.kind": "bs3036"})

    assert check.verdict is Verdict.NOT_MET
    assert printed(check, "Iz") == pytest.approx(82.65)


def test_three_phase_tails_are_read_from_the_column_for_three_loaded_cores():
    # Table 4D1A, 25 mm2, method C, three loaded: 104 A
    assert printed(tails({"supply.phases": 3}), "It") == 104


def test_tails_ask_rather_than_guess():
    assert tails({TAILS: None}).needs == (TAILS,)
    assert tails({TAILS: assumed(16, 25, "photo")}).needs == (TAILS,)
    assert tails({"supply.tails.method": None}).needs == ("supply.tails.method",)
    assert tails({f"{LOADS}[0].current_a": None}).needs == (f"{LOADS}[0].current_a",)


def test_tails_that_the_table_does_not_have_are_for_the_designer():
    assert tails({TAILS: measured(20)}).verdict is Verdict.FOR_THE_DESIGNER
    assert tails({"supply.tails.method": "somehow"}).verdict is Verdict.FOR_THE_DESIGNER


def test_a_limit_not_looked_at_is_asked_for_where_it_decides():
    # 60 + 32 = 92 A on 87 A of tails behind 80 A: a limit could leave 80 A
    changes = {CUTOUT: measured(80), TAILS: measured(16), LOADS: amps(60)}

    assert tails({**changes, "charge_point.load_cap.fitted": None}).needs == ("charge_point.load_cap.fitted",)
    assert tails({**changes, **limiter(80)}).verdict is Verdict.MET


@pytest.mark.parametrize(("switch_a", "verdict"), [(100, Verdict.MET), (99, Verdict.NOT_MET), (80, Verdict.NOT_MET)])
def test_main_switch_turns_at_the_cut_out(switch_a, verdict):
    check = switch({SWITCH: measured(switch_a)})

    assert check.verdict is verdict
    assert f"the main switch carries {switch_a} A" in check.says
    assert "lets 100 A flow" in check.says


def test_main_switch_by_the_demand_where_that_is_more():
    # 88 A behind an 80 A cut-out
    assert switch({CUTOUT: measured(80), SWITCH: measured(87)}).verdict is Verdict.NOT_MET
    assert switch({CUTOUT: measured(80), SWITCH: measured(88)}).verdict is Verdict.MET


def test_main_switch_asks_rather_than_guess():
    assert switch({SWITCH: None}).needs == (SWITCH,)
    assert switch({SWITCH: assumed(80, 100, "photo")}).needs == (SWITCH,)


def test_a_carrier_mark_above_the_switch_may_hide_a_smaller_fuse():
    changes = {SWITCH: measured(80), LOADS: amps(40), "supply.cutout.rating_known_by": "mark on the carrier"}

    assert switch(changes).needs == ("supply.cutout.rating_known_by",)
    assert switch({**changes, SWITCH: measured(100)}).verdict is Verdict.MET


SUN = {"generation.fitted": True, "generation.inverter_a": measured(16)}
BATTERY = {"storage.fitted": True, "storage.inverter_a": measured(16), "storage.charges_from_supply": False}


def test_busbar_adds_every_source_by_hand():
    # 100 + 16 + 16 = 132 A on 125 A; by demand 88 + 32 = 120 A would fit
    check = busbar({**SUN, **BATTERY})

    assert printed(check, "Ibar") == 132
    assert printed(check, "Iother") == pytest.approx(120)
    assert check.verdict is Verdict.FOR_THE_DESIGNER
    assert "132.0 A" in check.says
    assert "120.0 A" in check.says


@pytest.mark.parametrize(("bar_a", "verdict"), [(116, Verdict.MET), (115.9, Verdict.FOR_THE_DESIGNER),
                                                (103.9, Verdict.NOT_MET)])  # fmt: skip
def test_busbar_turns_at_the_sources(bar_a, verdict):
    # 100 + 16 = 116 A by the cut-out, 88 + 16 = 104 A by the demand
    assert busbar({**SUN, BUSBAR: measured(bar_a)}).verdict is verdict


def test_busbar_by_the_limit_by_hand():
    # house 56, held to 60: 60 + 16 = 76 A
    assert printed(busbar({**SUN, **limiter(60)}), "Iother") == 76


def test_a_car_that_feeds_back_is_a_source():
    # 100 + 32 = 132 A
    assert printed(busbar({"charge_point.sends_power_back": True}), "Ibar") == 132


def test_busbar_counts_sources_on_their_own_line():
    check = busbar({"supply.phases": 3, **SUN, "generation.line": "L2"})

    assert check.says == "The cut-out and the other sources can bring 116.0 A on L2 into the busbar; it carries 125 A."


def test_busbar_asks_rather_than_guess():
    assert busbar({BUSBAR: None}).needs == (BUSBAR,)
    assert busbar({"generation.fitted": True}).needs == ("generation.inverter_a",)
    assert busbar({"storage.fitted": None}).needs == ("storage.fitted",)
    wide = {**SUN, "generation.inverter_a": assumed(16, 32, "plate not legible")}
    assert busbar(wide).needs == ("generation.inverter_a",)


def test_a_battery_that_may_charge_is_counted_whole():
    # 16 A into the battery on top of the loads, at the larger end of its range
    battery = {**BATTERY, "storage.charges_from_supply": True, SWITCH: measured(100), CUTOUT: measured(100)}
    roof = switch({**BATTERY, SWITCH: measured(100)})
    house_a = printed(roof, "Ihouse")
    assert printed(switch(battery), "Ihouse") == pytest.approx(house_a + 16)
    ranged = {**battery, "storage.inverter_a": assumed(10, 16)}
    assert printed(switch(ranged), "Ibat") == 16
    assert switch({**battery, "storage.charges_from_supply": None}).needs == ("storage.charges_from_supply",)
    assert "storage.inverter_a" in switch({**battery, "storage.inverter_a": None}).needs
