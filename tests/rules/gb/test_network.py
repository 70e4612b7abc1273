"""Connect and notify, or ask first: every reason, the turning points, and what is still open."""

import dataclasses
import datetime

import pytest
from intake import amps, intake, limiter

from ampwright.job.record import HalfHourly, Job
from ampwright.reading import assumed, measured
from ampwright.rules.gb.network import Service, network_notice, reasons_to_apply
from ampwright.working import Verdict

LOADS, CUTOUT = "installation.loads", "supply.cutout.rating_a"
SMALL = {LOADS: amps(20)}
GOOD = {
    "cutout_a": 60.0, "known_by": "operator's record", "looped": False, "sound": True, "metered": True,
    "upgrade_known_needed": False, "meets_standards": True, "sends_power_back": False,
}  # fmt: skip


def reasons(demand_a=50.0, **changes):
    return reasons_to_apply(Service(**{**GOOD, **changes}), demand_a=demand_a, threshold_a=60.0)


def notice(changes, **top):
    return network_notice(intake({**SMALL, **changes}, **top))


@pytest.mark.parametrize(
    ("demand_a", "cutout_a", "count"),
    # from the operators' decision rule: 60.0 notify; 60.1 apply; a 60 A cut-out and 60.0 A notify; 60.1 A breaks both
    [(60.0, 100.0, 0), (60.1, 100.0, 1), (60.0, 60.0, 0), (60.1, 60.0, 2), (50.0, 45.0, 1), (50.0, None, 1)],
)
def test_boundaries_of_the_decision(demand_a, cutout_a, count):
    assert len(reasons(demand_a, cutout_a=cutout_a)) == count


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"cutout_a": None}, "not known"),
        ({"known_by": "mark on the carrier"}, "mark on the carrier"),
        ({"known_by": "guessed from its look"}, "guessed"),
        ({"looped": True}, "looped"),
        ({"sound": False}, "not sound"),
        ({"metered": False}, "not metered"),
        ({"upgrade_known_needed": True}, "upgrade"),
        ({"meets_standards": False}, "standards"),
        ({"sends_power_back": True}, "generation"),
    ],
)
def test_each_reason_alone_is_enough_and_is_named(changes, word):
    (reason,) = reasons(**changes)

    assert word in reason


def test_all_reasons_are_listed():
    everything = reasons(101.0, known_by="guessed from its look", looped=True, sound=False, metered=False,
                         upgrade_known_needed=True, meets_standards=False, sends_power_back=True)  # fmt: skip

    assert len(everything) == 9
    assert not reasons()


@pytest.mark.parametrize(("house_a", "verdict"), [(28.0, Verdict.MET), (28.1, Verdict.FOR_THE_DESIGNER)])
@pytest.mark.parametrize("cutout_a", [60, 100])
def test_turns_at_sixty_amperes(house_a, verdict, cutout_a):
    # 28.0 + 32 = 60.0 A
    assert notice({LOADS: amps(house_a), CUTOUT: measured(cutout_a)}).verdict is verdict


def test_connect_then_notify_by_the_date():
    # 28 days after 3 February 2026 is 3 March 2026
    check = notice({}, date=datetime.date(2026, 2, 3))

    assert check.verdict is Verdict.MET
    assert "Connect, then notify within 28 days: if connected on 3 February 2026, by 3 March 2026 (" in check.says
    assert "maximum demand 52.0 A without a load cap, and none counts" in check.says


def test_without_a_date_the_days_are_said():
    assert "within 28 days (maximum" in notice({}).says


def test_the_limit_is_counted_and_both_figures_are_shown():
    # 40 + 32 = 72 A, held to 60 A
    check = notice({LOADS: amps(40), **limiter(60)})

    assert check.verdict is Verdict.MET
    assert "72.0 A without a load cap, 60.0 A with it" in check.says


def test_a_limit_that_fails_open_is_not_counted():
    check = notice({LOADS: amps(40), **limiter(60, fails_safe=False)})

    assert check.verdict is Verdict.FOR_THE_DESIGNER
    assert "72.0 A is above 60 A" in check.says


def test_a_limit_not_looked_at_is_asked_for_only_where_it_decides():
    path = "charge_point.load_cap.fitted"

    assert notice({path: None, LOADS: amps(40)}).needs == (path,)
    assert notice({path: None}).verdict is Verdict.MET
    assert notice({path: None, LOADS: amps(61)}).verdict is Verdict.FOR_THE_DESIGNER


@pytest.mark.parametrize(
    "path",
    ["supply.looped", "supply.cutout.sound", "supply.metered", "supply.upgrade_known_needed", CUTOUT, LOADS,
     "supply.cutout.rating_known_by", "charge_point.meets_standards", "charge_point.sends_power_back",
     "charge_point.rated_a", "supply.phases"],
)  # fmt: skip
def test_an_open_answer_is_asked_for_unless_a_reason_is_sure(path):
    assert notice({path: None}).needs == (path,)
    sure = "supply.cutout.sound" if path == "supply.looped" else "supply.looped"
    assert notice({path: None, sure: sure == "supply.looped"}).verdict is Verdict.FOR_THE_DESIGNER


def test_a_range_that_decides_is_named():
    assert notice({CUTOUT: assumed(45, 100, "photo")}).needs == (CUTOUT,)
    assert notice({CUTOUT: assumed(60, 100, "photo")}).verdict is Verdict.MET


def test_a_house_beyond_the_threshold_with_the_cut_out_unseen():
    assert notice({CUTOUT: None, LOADS: amps(61)}).verdict is Verdict.FOR_THE_DESIGNER


def test_an_unsound_cut_out_carries_the_caution():
    assert notice({"supply.cutout.sound": False}).cautions == ("supplier_seals",)


def test_an_empty_job_asks():
    check = network_notice(Job())

    assert check.verdict is Verdict.NOT_YET_KNOWN
    assert "supply.looped" in check.needs


def test_three_phases_take_the_threshold_for_each_line():
    check = notice({"supply.phases": 3, "charge_point.phases": 3})

    assert "maximum demand on L1 52.0 A" in check.says
    assert any("each line" in step.formula for step in check.working)
    assert check.verdict is Verdict.MET


def test_to_apply_is_a_route_and_says_why():
    # 40 + 32 = 72 A
    check = notice({LOADS: amps(40)})

    assert check.says.startswith(
        "Apply to the network operator before fitting, because: the demand of 72.0 A is above 60 A"
    )


YEAR = HalfHourly(csv="year.csv", highest_kwh=1.15, highest_at="2025-12-25 17:00", days_count=365, missing_count=0,
                  months=tuple(range(1, 13)))  # fmt: skip


@pytest.mark.parametrize(
    ("kwh", "demand_a", "by", "verdict"),
    # 1.15 kWh in half an hour is 10 A, and the 20 A load whole: 30 + 32 = 62 A against 20 + 32 = 52 A by diversity;
    # 0.92 kWh is 8 A: 60 A; with nothing recorded the 20 A load stands in both
    [(1.15, "62.0", "by the year of readings", Verdict.FOR_THE_DESIGNER),
     (0.92, "60.0", "by the year of readings", Verdict.MET),
     (0, "52.0", "by diversity", Verdict.MET)],
)  # fmt: skip
def test_the_larger_of_diversity_and_readings_counts(kwh, demand_a, by, verdict):
    check = notice({"installation.half_hourly": dataclasses.replace(YEAR, highest_kwh=kwh)})

    assert check.verdict is verdict
    assert f"maximum demand {demand_a} A {by} without" in check.says


def test_readings_that_are_no_year_are_left_out():
    check = notice({"installation.half_hourly": dataclasses.replace(YEAR, days_count=300)})

    assert "maximum demand 52.0 A without" in check.says


def test_readings_of_a_year_do_not_stand_for_the_demand():
    assert notice({LOADS: None, "installation.half_hourly": HalfHourly(highest_kwh=2)}).needs == (LOADS,)
