"""Whether a load cap may be counted: how it is set, how it fails, and what its sensors watch."""

import pytest
from intake import amps, intake, limiter

from ampwright.job.choices import Line
from ampwright.job.record import Sensor
from ampwright.reading import assumed
from ampwright.rules.gb.demand import cutout_carries_demand, load_cap_counts
from ampwright.working import Verdict

LOADS, CUTOUT = "installation.loads", "supply.cutout.rating_a"
LIMIT = "charge_point.load_cap"
THREE = {"supply.phases": 3}


def cutout_demand(changes):
    return cutout_carries_demand(intake(changes))


def counts(changes):
    return load_cap_counts(intake(changes))


@pytest.mark.parametrize(("limit_a", "verdict"), [(100.0, Verdict.MET), (100.5, Verdict.NOT_MET)])
def test_a_limit_counts_up_to_the_cut_out(limit_a, verdict):
    check = counts(limiter(limit_a))

    assert check.verdict is verdict
    assert f"Set to {limit_a:g} A" in check.says
    assert check.says.endswith("carries 100 A." if limit_a == 100 else "above the 100 A cut-out.")


@pytest.mark.parametrize(("fails_safe", "locked", "word"), [(False, None, "fall back"), (None, False, "customer")])
def test_a_limit_that_fails_open_or_is_not_sealed_does_not_count(fails_safe, locked, word):
    check = counts(limiter(60, fails_safe, locked))

    assert check.verdict is Verdict.NOT_MET
    assert word in check.says


def test_a_cap_below_the_house_only_stops_the_car():
    # 40 + (10 + 0.3 x 20) = 56 A of house
    assert counts(limiter(10)).says.endswith("The house alone needs 56.0 A; the 10 A cap only stops the car.")
    assert "only stops" not in counts(limiter(56)).says
    assert counts({**limiter(10), LOADS: None}).verdict is Verdict.MET


def grid(*lines: Line):
    return tuple(Sensor(name=f"supply {line}", watches="grid", line=line) for line in lines)


@pytest.mark.parametrize(
    ("phases", "line", "sensors", "blind"),
    [
        (3, "all", grid("L1", "L3"), "L2"),
        (3, "all", grid("L1"), "L2 and L3"),
        (3, "all", grid("L1", "L2", "L3"), ""),
        (3, "all", grid("all"), ""),
        (1, "L2", grid("L1"), "L2"),
        (1, "L2", grid("L2"), ""),
        (1, "L1", (Sensor(name="roof", watches="generation"),), "L1"),
        (3, "all", (), ""),
    ],
)
def test_every_line_that_the_car_is_on_is_watched(phases, line, sensors, blind):
    changes = {**THREE, **limiter(60), "charge_point.phases": phases, "charge_point.line": line, "sensors": sensors}
    check = counts(changes)

    assert check.verdict is (Verdict.NOT_MET if blind else Verdict.MET)
    assert not blind or check.says.endswith(f"no sensor watches the supply on {blind}.")
    # a cap that does not count holds nothing: 90 + 32 = 122 A on that line
    demand = cutout_demand({**changes, LOADS: amps(90, line=blind[:2] or "L1")})
    assert demand.verdict is (Verdict.NOT_MET if blind else Verdict.MET)


def test_sensors_that_may_leave_a_line_unwatched_ask_for_the_lines():
    changes = {**limiter(60), "sensors": grid("L1")}

    assert counts(changes).verdict is Verdict.MET
    assert counts({**changes, "supply.phases": None}).needs == ("supply.phases",)
    assert counts({**changes, **THREE, "charge_point.phases": None}).needs == ("charge_point.phases",)


def test_no_limit_and_an_unknown_limit():
    assert counts({}).verdict is Verdict.DOES_NOT_APPLY
    assert counts({f"{LIMIT}.fitted": None}).needs == (f"{LIMIT}.fitted",)
    assert counts(limiter(None)).needs == (f"{LIMIT}.limit_a",)
    assert counts({**limiter(80), CUTOUT: assumed(60, 100, "photo")}).needs == (CUTOUT,)


def test_the_sheet_says_that_the_standard_sets_no_level_of_integrity():
    assert any("integrity" in step.formula for step in counts(limiter()).working)
