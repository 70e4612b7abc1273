"""voltage_drop and open_pen_voltage_window: BS 7671 525 and the watch on line to neutral."""

import pytest
from jobs import change, house

from ampwright.reading import assumed, measured
from ampwright.rules.gb.voltage_drop import open_pen_voltage_window, voltage_drop
from ampwright.working import Verdict

ONE_SECTION = {"route": house().route[:1]}


def judged(changes=None, rule=voltage_drop):
    return rule(house(changes))


def run_of(size_mm2, length_m, kind="flat_twin_and_earth"):
    """One stretch of cable, 32 A on one phase."""
    job = house({**ONE_SECTION, "charge_point.open_pen": "voltage window"})
    return change(job, {"route[0].cable.kind": kind, "route[0].cable.size_mm2": size_mm2,
                        "route[0].length_m": measured(length_m)})  # fmt: skip


def printed(finding, symbol):
    return [step.value for step in finding.working if step.symbol == symbol][-1]


def test_agrees_with_the_sum_done_by_hand():
    # 5 m of flat cable: 7.3 / 1000 x 5 x 32 = 1.168; 23 m of 90 °C armoured: 7.9 / 1000 x 23 x 32 = 5.8144; 6.9824 V
    finding = judged()
    assert finding.verdict is Verdict.MET
    assert printed(finding, "Vd") == pytest.approx(6.9824)
    assert finding.says == "7.0 V dropped; limit 11.5 V (5 %)."


def test_three_phases_are_judged_between_lines():
    # 4E4B three-core 10 mm²: 4.0 mV/A/m; 30 m at 32 A loses 3.84 V of 5 % of 398.4 V = 19.92 V
    finding = voltage_drop(change(run_of(10.0, 30, "armoured_90c"), {"charge_point.phases": 3, "supply.phases": 3}))
    assert printed(finding, "Vd") == pytest.approx(3.84)
    assert printed(finding, "Vmax") == pytest.approx(19.92, abs=0.005)


# The longest runs at 32 A for 9.2 V and for 5 %, to a tenth of a metre: design notes on the open-PEN article of the
# publishing institution (July 2023), reckoned there from the tables of Appendix 4, apart from this code
@pytest.mark.parametrize(
    ("size_mm2", "kind", "window_m", "limit_m"),
    [(4.0, "flat_twin_and_earth", 26.1, 32.7), (6.0, "flat_twin_and_earth", 39.4, 49.2),
     (6.0, "armoured_90c", 36.4, 45.5), (10.0, "flat_twin_and_earth", 65.3, 81.7),
     (10.0, "armoured_90c", 61.2, 76.5), (16.0, "flat_twin_and_earth", 102.7, 128.3)],
)  # fmt: skip
def test_turns_where_the_published_lengths_say(size_mm2, kind, window_m, limit_m):
    assert voltage_drop(run_of(size_mm2, limit_m - 0.1, kind)).verdict is Verdict.MET
    assert voltage_drop(run_of(size_mm2, limit_m + 0.1, kind)).verdict is Verdict.NOT_MET
    assert open_pen_voltage_window(run_of(size_mm2, window_m - 0.1, kind)).verdict is Verdict.MET
    assert open_pen_voltage_window(run_of(size_mm2, window_m + 0.1, kind)).verdict is Verdict.FOR_THE_DESIGNER


def test_the_window_shows_both_voltages():
    # 40 m of 6 mm² flat: 7.3 / 1000 x 40 x 32 = 9.344 V; 216.2 - 207 = 9.2 V
    finding = open_pen_voltage_window(run_of(6.0, 40))
    assert finding.says.startswith(
        "At 216.2 V supply 9.2 V may be dropped before its 207 V threshold; this circuit drops 9.4 V."
    )
    assert printed(finding, "Vroom") == pytest.approx(9.2)


def test_a_unit_that_does_not_watch_the_voltage_is_not_asked():
    finding = judged({"charge_point.open_pen": "separate device"}, open_pen_voltage_window)
    assert finding.verdict is Verdict.DOES_NOT_APPLY


@pytest.mark.parametrize("rule", [voltage_drop, open_pen_voltage_window])
def test_asks_for_a_length_rather_than_guess(rule):
    job = change(run_of(6.0, 10), {"route[0].length_m": None})
    assert rule(job).needs == ("route[0].length_m",)
    job = change(run_of(6.0, 10), {"route[0].length_m": assumed(30, 60, "from a photograph")})
    assert rule(job).needs == ("route[0].length_m",)
    assert rule(job).verdict is Verdict.NOT_YET_KNOWN


@pytest.mark.parametrize(("locked", "share"), [(True, 0.5), (False, 1), (None, 1)])
def test_a_setting_below_the_rating_counts_only_if_the_customer_cannot_raise_it(locked, share):
    # 16 A loses half of what 32 A loses
    changes = {"charge_point.set_a": 16.0, "charge_point.set_locked_from_customer": locked}
    assert printed(judged(changes), "Vd") == pytest.approx(6.9824 * share)


def test_a_size_that_no_table_has_is_for_the_designer():
    finding = voltage_drop(run_of(5.0, 10))
    assert finding.verdict is Verdict.FOR_THE_DESIGNER
    assert "take the value from the book" in finding.says
