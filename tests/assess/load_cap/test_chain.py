"""The error chain: sums by hand, the notes' table of caps, and what no class can say."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from situations import GRID, LIMIT, capped

from ampwright.assess.book import load_cap_stands
from ampwright.assess.load_cap.chain import TooSmall, errors_ratio, highest_cap_a, proof
from ampwright.assess.load_cap.checks import cap_by_its_errors
from ampwright.assess.load_cap.reckoning import at_cap, worst_line
from ampwright.assess.load_cap.replay import car_a
from ampwright.facts import NoRow
from ampwright.reading import WORST, assumed, measured
from ampwright.working import Verdict, Working

CUTOUT, SUSTAINED = "supply.cutout.rating_a", "supply.cutout.sustained_a"
METER, STEP, BAND = f"{LIMIT}.meter_percent", f"{LIMIT}.display_step_a", f"{LIMIT}.dead_band_a"
CLASS, JAWS, RATED = "sensors[0].class_percent", "sensors[0].split_core", "sensors[0].rated_a"


def test_ninety_five_shown_is_at_most_99_5_true():
    # class 1 between 20 and 100 % of rated: 1.5 %; meter 0.5 %; jaws 1 %: (95 + 0.5 + 1) / 0.97 = 99.48
    check = cap_by_its_errors(capped())

    assert "95 A shown can be at most 99.5 A true" in check.says
    assert check.verdict is Verdict.MET
    printed = {step.symbol: step.value for step in check.working}
    assert printed["Tmost"] == pytest.approx(99.4845, abs=1e-4)
    assert printed["Ctop"] == pytest.approx(95.5)


def test_ninety_six_would_be_too_much():
    # 97.5 / 0.97 = 100.5 A on a 100 A fuse
    assert proof(capped(), "L1", 96.0, 100.0, WORST, Working()) == pytest.approx(100.515, abs=0.001)


@pytest.mark.parametrize(
    ("rating_a", "changes", "cap_a"),
    [
        # sensing_and_limits.md 1.2, C = (d In - U)(1 - eps) - r - H, rounded down: 3 %, step 1, band 1
        (60, {}, 56), (80, {}, 76), (100, {}, 95),
        # 1 %: class 0.5 is 0.75 % here, meter 0.25, closed core; step 0.2, band 0.5
        (60, {CLASS: 0.5, METER: 0.25, JAWS: False, STEP: 0.2, BAND: 0.5}, 58),
        (80, {CLASS: 0.5, METER: 0.25, JAWS: False, STEP: 0.2, BAND: 0.5}, 78),
        (100, {CLASS: 0.5, METER: 0.25, JAWS: False, STEP: 0.2, BAND: 0.5}, 98),
        # 5 %: class 3, meter 1, jaws 1
        (60, {CLASS: 3.0, METER: 1.0}, 55), (80, {CLASS: 3.0, METER: 1.0}, 74), (100, {CLASS: 3.0, METER: 1.0}, 93),
        # a 100 A cut-out that the operator counts as 80 A for hours
        (100, {SUSTAINED: 80.0}, 76),
    ],
)  # fmt: skip
def test_agrees_with_the_table_of_the_research_notes(rating_a, changes, cap_a):
    job = capped({CUTOUT: measured(rating_a), SUSTAINED: float(rating_a), **changes})
    assert f"{cap_a} A shown" in cap_by_its_errors(job).says


def test_common_practice_is_95_on_100_by_wire():
    # common practice, no source
    assert "By its errors alone no more than 95 A" in cap_by_its_errors(capped()).says


def test_a_load_that_the_sensor_does_not_see_comes_off_whole():
    # 10 A before the sensor: (100 - 10) x 0.97 - 1.5 = 85.8
    job = capped({"installation.loads[1].beyond_sensor": True}, 40.0, 10.0)
    assert "85 A shown can be at most 99.2 A true" in cap_by_its_errors(job).says  # 86.5 / 0.97 + 10 = 99.18


BESIDE, APART, LINK = "sensors[0].beside_car_cable_m", "sensors[0].beside_car_cable_mm", "sensors[0].link"


def test_a_lead_that_lies_against_the_cars_cable_lowers_the_cap():
    # Sheaths touching: 5.25 mm from middle to middle, so 2 and 6.5 mm from the lead to the cores: over 10 m at 32 A
    # 2 pi 50 x 2e-7 x 32 x 10 x (ln(4 / 2) - ln(8.5 / 6.5)) = 8.542 mV, and 2.565 A at 3.33 mV an ampere:
    # 100 x 0.97 - 1.5 - 2.565 = 92.9; (92 + 1.5 + 2.565) / 0.97 = 99.04
    check = cap_by_its_errors(capped({BESIDE: measured(10), APART: measured(1)}))

    assert "92 A shown can be at most 99.1 A true" in check.says
    printed = {step.symbol: step.value for step in check.working}
    assert printed["Ifalse"] == pytest.approx(2.565, abs=0.001)


def test_the_longest_and_nearest_that_the_survey_allows_counts():
    check = cap_by_its_errors(capped({BESIDE: assumed(0, 10), APART: assumed(1, 200)}))
    assert "92 A shown" in check.says
    assert "At its best the survey allows 95 A" in check.says


@pytest.mark.parametrize(
    ("changes", "needs"),
    [({BESIDE: None}, {BESIDE, APART}), ({BESIDE: measured(3)}, {APART}), ({LINK: None, BESIDE: None},
     {LINK, BESIDE, APART}), ({LINK: "radio", BESIDE: None}, set())],
)  # fmt: skip
def test_asks_how_the_lead_runs_rather_than_count_on_none(changes, needs):
    assert set(cap_by_its_errors(capped(changes)).needs) == needs


def test_solar_behind_the_busbar_takes_its_share():
    # busbar 100 A less 16 A of solar: 84 x 0.97 - 1.5 = 79.98
    job = capped({"installation.busbar_a": measured(100), "generation.fitted": True})
    assert "79 A shown" in cap_by_its_errors(job).says
    assert "84.0 A may, by the busbar" in cap_by_its_errors(job).says


def test_thin_tails_govern():
    # 16 mm2 clipped carries 87 A (table 4D1A): 87 x 0.97 - 1.5 = 82.9
    assert "82 A shown" in cap_by_its_errors(capped({"supply.tails.size_mm2": measured(16)})).says


@pytest.mark.parametrize(
    ("cap_a", "percent"), [(95, 1.5), (100, 1.0), (119, 1.0), (20, 1.5), (19, 3.0), (5, 3.0)]
)  # fmt: skip
def test_the_class_is_that_of_the_point_below(cap_a, percent):
    # IEC 61869-2, class 1: 3.0 / 1.5 / 1.0 % at 5 / 20 / 100 %, which holds to 120 %
    job = capped({METER: 0.5, JAWS: False})
    assert errors_ratio(job, "L1", cap_a, Working()) == pytest.approx((percent + 0.5) / 100)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({RATED: 60.0}, "too small"),
        ({RATED: 3000.0}, "Fit a sensor of a lower rating"),
        ({CLASS: 10.0}, "no class"),
    ],
)
def test_where_no_class_holds_it_says_so(changes, words):
    with pytest.raises(NoRow, match=words):
        errors_ratio(capped(changes), "L1", 95.0, Working())


def test_a_small_sensor_limits_the_cap():
    # 60 A rated: the class holds to 72 A. There it shows 72 x 0.975 - 0.5 = 69.7 A at the least: less the dead band of
    # 1 A and the half ampere that must be over, a cap of 68 A acts, and one of 69 A might not
    assert highest_cap_a(capped({RATED: 60.0}), "L1", 100.0, WORST) == 68
    with pytest.raises(TooSmall, match="might never give way"):
        proof(capped({RATED: 60.0}), "L1", 69.0, 100.0, WORST, Working())


@pytest.mark.parametrize(("rated_a", "set_a", "highest_a"), [(50.0, 60.0, 56), (75.0, 90.0, 85), (79.0, 94.0, 90)])
def test_a_cap_that_its_sensor_never_shows_as_passed_is_not_met(rated_a, set_a, highest_a):
    job = capped({RATED: rated_a, f"{LIMIT}.limit_a": set_a}, 50.0, 30.0)
    check = cap_by_its_errors(job)
    assert check.verdict is Verdict.NOT_MET
    assert f"It is set to {set_a:g} A; by its errors alone no more than {highest_a} A " in check.says
    assert f"behind one of {highest_a + 1} A the car might never give way" in check.says
    stands = load_cap_stands(job)
    assert stands.verdict is Verdict.NOT_MET
    assert "the car might never give way" in stands.says


@settings(max_examples=60, deadline=None)
@given(st.sampled_from([40.0, 50.0, 60.0, 75.0, 80.0, 100.0, 200.0]), st.integers(10, 90),
       st.sampled_from([0.0, 5.0]), st.sampled_from([0.0, 6.0]), st.integers(1, 10))  # fmt: skip
def test_a_steady_house_settles_within_what_may_flow(rated_a, house_a, band_a, fallback_a, message_s):
    """Whatever is offered, replayed in plain steps with nothing lost: the house at its most, for hours."""
    job = capped({RATED: rated_a, BAND: band_a, f"{LIMIT}.fallback_a": fallback_a, f"{LIMIT}.watchdog_s": 12,
                  f"{LIMIT}.message_every_s": message_s}, float(house_a))  # fmt: skip
    try:
        line = worst_line(job, True)
    except NoRow:
        return
    if line.stands_a is None:
        return
    situation = at_cap(job, line, line.stands_a, WORST).situation
    assert situation is not None
    taken = car_a(situation, [situation.house_a] * (600 * message_s), [False] * 600)
    assert situation.house_a + situation.unseen_a + taken[-1] <= line.limit.true_a + 1e-6


def test_it_asks_the_operator_about_a_100_a_cutout():
    check = cap_by_its_errors(capped({SUSTAINED: None, f"{LIMIT}.limit_a": 90.0}))

    assert check.verdict is Verdict.NOT_YET_KNOWN
    assert check.needs == (SUSTAINED,)
    assert "At its best the survey allows 95 A" in check.says


# class 1 of 100 A promises nothing below 5 %, 5 A
@pytest.mark.parametrize(("set_a", "verdict"), [(95.0, Verdict.MET), (96.0, Verdict.NOT_MET), (5.0, Verdict.MET),
                                                (4.0, Verdict.NOT_MET)])  # fmt: skip
def test_what_is_set_is_held_against_it(set_a, verdict):
    assert cap_by_its_errors(capped({f"{LIMIT}.limit_a": set_a})).verdict is verdict


def test_a_range_of_cutouts_leaves_it_open():
    check = cap_by_its_errors(capped({CUTOUT: assumed(60, 80), SUSTAINED: 80.0, f"{LIMIT}.limit_a": 70.0}))
    assert check.verdict is Verdict.NOT_YET_KNOWN
    assert check.needs == (CUTOUT,)


@pytest.mark.parametrize("path", [METER, STEP, BAND, CLASS, JAWS, RATED, "installation.busbar_a"])
def test_asks_for_what_is_missing(path):
    assert path in cap_by_its_errors(capped({path: None})).needs


def test_no_sensor_at_the_supply():
    assert cap_by_its_errors(capped({"sensors": ()})).needs == ("sensors",)


@given(st.floats(0.1, 5), st.floats(0, 5), st.floats(0, 5), st.booleans())
def test_more_error_never_raises_the_cap(meter, more, band_a, opens):
    small = capped({METER: meter, BAND: band_a, JAWS: False})
    large = capped({METER: meter + more, BAND: band_a, JAWS: opens})
    lower, higher = (highest_cap_a(job, "L1", 100.0, WORST) for job in (large, small))
    assert lower is not None
    assert higher is not None
    assert lower <= higher


def test_the_worst_sensor_of_a_line_counts():
    job = capped({"sensors": (GRID, GRID)})
    assert errors_ratio(job, "L1", 95.0, Working()) == errors_ratio(capped(), "L1", 95.0, Working())
    worse = capped({"sensors": (GRID, GRID), "sensors[1].class_percent": 3.0})
    assert errors_ratio(worse, "L1", 95.0, Working()) == pytest.approx(0.045)
