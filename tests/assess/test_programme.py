"""The clocks, day by day, against days counted on a calendar."""

import datetime
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from intake import amps
from jobs import house

from ampwright.assess.programme import last_day, programme
from ampwright.facts import rows
from ampwright.reading import assumed, measured

CLOCKS = {(row["clock"], row["nation"]): row for row in rows("gb/clocks")}
ON = date(2026, 11, 26)
ASKED_NOTHING = {"dates.away_from_premises": False, "site.nation": "England"}


def due(clock, on=ON, **dates):
    job = house({**ASKED_NOTHING, **{f"dates.{name}": value for name, value in dates.items()}})
    return next(each for each in programme(job, on) if each.clock == clock)


@pytest.mark.parametrize(
    ("clock", "start", "by"),
    # 28 days from 3 February 2028 (a leap year) are 26 in February and 2 in March; 30 days from 31 January 2027 end
    # on 2 March; 14 from 20 December on 3 January
    [("network_notice", date(2028, 2, 3), date(2028, 3, 2)), ("building_notice", date(2027, 1, 31), date(2027, 3, 2)),
     ("cancellation", date(2026, 12, 20), date(2027, 1, 3)), ("grant_claim", date(2026, 11, 26), date(2027, 2, 24)),
     ("sales_register", date(2028, 2, 29), date(2038, 3, 1)),
     ("sales_register", date(2026, 11, 26), date(2036, 11, 26))],
)  # fmt: skip
def test_last_days_on_the_calendar(clock, start, by):
    row = CLOCKS.get((clock, "")) or CLOCKS[clock, "England"]
    assert last_day(start, row) == by


@given(st.dates(date(2020, 1, 1), date(2050, 1, 1)))
def test_days_are_counted_from_the_day_after(start):
    assert (last_day(start, CLOCKS["network_notice", ""]) - start).days == 28


@pytest.mark.parametrize(
    ("on", "told", "state"),
    [(date(2026, 12, 26), None, "owed"), (date(2026, 12, 27), None, "overdue"),
     (date(2027, 1, 5), date(2026, 12, 26), "done"), (date(2027, 1, 5), date(2026, 12, 27), "done late")],
)  # fmt: skip
def test_the_building_notice_to_its_last_day_and_beyond(on, told, state):
    # 26 November and 30 days: 26 December
    found = due("building_notice", on, installed=ON, building_told=told)
    assert (found.state, found.by) == (state, date(2026, 12, 26))


def test_what_has_no_start_yet_says_what_to_note():
    found = due("building_notice")
    assert (found.state, found.ask) == ("not started", "dates.installed")


def test_the_operator_is_told_after_or_asked_before_as_the_rule_has_it():
    small = {"installation.loads": amps(10.0), "dates.installed": ON}
    told = next(each for each in programme(house({**ASKED_NOTHING, **small}), ON) if each.clock == "network_notice")
    assert (told.state, told.by) == ("owed", date(2026, 12, 24))  # 10 A and the car's 32 A: 28 days after
    job = house({**ASKED_NOTHING, "dates.installed": ON, "supply.looped": True})
    asked = next(each for each in programme(job, ON) if each.clock == "network_notice")
    assert asked.state == "overdue"
    assert "before fitting" in asked.says
    agreed = house({**ASKED_NOTHING, "dates.installed": ON, "supply.looped": True,
                    "dates.operator_agreed": date(2026, 11, 25)})  # fmt: skip
    assert next(each for each in programme(agreed, ON) if each.clock == "network_notice").state == "done"
    late = house({**ASKED_NOTHING, "dates.installed": ON, "supply.looped": True,
                  "dates.operator_agreed": date(2026, 11, 27)})  # fmt: skip
    after = programme(late, date(2026, 11, 27))
    assert next(each for each in after if each.clock == "network_notice").state == "done late"


def test_other_nations_are_not_given_englands_days():
    job = house({"site.nation": "Scotland", "dates.away_from_premises": False})
    found = next(each for each in programme(job, ON) if each.clock == "building_notice")
    assert (found.state, found.by) == ("find out", None)
    assert "Scotland" in found.says


def test_the_cancellation_runs_only_where_the_contract_was_made_away():
    assert due("cancellation", contract=ON, away_from_premises=True).state == "runs"
    assert due("cancellation", date(2026, 12, 11), contract=ON, away_from_premises=True).state == "ended"
    assert due("cancellation", contract=ON, away_from_premises=None).ask == "dates.away_from_premises"
    job = house({**ASKED_NOTHING, "dates.contract": ON})
    assert "cancellation" not in {each.clock for each in programme(job, ON)}


def test_the_grant_window_and_the_claim():
    assert due("grant_window", date(2027, 3, 31), grant_wanted=True).state == "owed"
    assert due("grant_window", date(2027, 4, 1), grant_wanted=True).state == "ended"
    assert due("grant_claim", grant_wanted=True, grant_applied=ON).by == date(2027, 2, 24)
    early = house({**ASKED_NOTHING, "dates.grant_wanted": True, "dates.grant_applied": date(2026, 3, 31)})
    assert {"grant_window", "grant_claim"} <= {each.clock for each in programme(early, ON)}
    assert not {each.clock for each in programme(house(ASKED_NOTHING), ON)} & {"grant_window", "grant_claim"}


def test_the_register_is_owed_first_and_then_kept():
    assert due("sales_register", installed=ON).state == "owed"
    kept = due("sales_register", installed=ON, registered=ON)
    assert (kept.state, kept.by) == ("kept", date(2036, 11, 26))
    assert due("sales_register", date(2036, 11, 27), installed=ON, registered=ON).state == "ended"


def test_what_presses_most_stands_first():
    job = house({**ASKED_NOTHING, "dates.installed": ON, "dates.contract": ON, "dates.away_from_premises": True})
    states = [each.state for each in programme(job, ON + datetime.timedelta(days=60))]
    assert states[0] == "overdue"
    assert states == sorted(states, key=["overdue", "owed", "runs", "find out", "not started", "kept", "ended"].index)


def test_a_day_that_has_not_come_is_a_plan():
    planned = {**ASKED_NOTHING, "dates.installed": ON, "supply.looped": True}
    for on, state in ((date(2026, 11, 25), "owed"), (ON, "overdue")):
        found = next(each for each in programme(house(planned), on) if each.clock == "network_notice")
        assert (found.state, found.by) == (state, ON)
    before = due("sales_register", date(2026, 11, 25), installed=ON)
    assert (before.state, before.by, before.ask) == ("not started", None, None)


@given(st.dates(ON, date(2027, 6, 1)), st.dates(ON, date(2027, 6, 1)))
def test_what_is_dated_later_was_not_yet_done(told, on):
    found = due("building_notice", on, installed=ON, building_told=told)
    assert (found.day is not None) == (told <= on)
    assert (found.state in ("done", "done late")) == (told <= on)


def test_an_application_for_the_grant_says_that_it_is_wanted():
    assert due("grant_claim", grant_applied=date(2026, 11, 26)).by == date(2027, 2, 24)  # 90 days


def generation(on=ON, **values):
    job = house({**ASKED_NOTHING, "generation.fitted": True, "generation.part_of_this_job": True, **values})
    return next(each for each in programme(job, on) if each.clock.startswith("generation"))


@pytest.mark.parametrize(
    ("inverter_a", "clock"), [(15.9, "generation_notice"), (16.0, "generation_notice"), (16.1, "generation_consent")]
)
def test_generation_to_16_a_a_line_is_told_after_and_above_it_the_operator_is_asked(inverter_a, clock):
    # 16 A a line: one operator's page on its procedure for a single premises
    assert generation(**{"generation.inverter_a": measured(inverter_a)}).clock == clock


def test_the_notice_of_generation_to_its_last_day_and_beyond():
    small = {"generation.inverter_a": measured(16), "generation.commissioned": ON}
    for on, told, state in ((date(2026, 12, 24), None, "owed"), (date(2026, 12, 25), None, "overdue"),
                            (date(2027, 1, 5), date(2026, 12, 24), "done"),
                            (date(2027, 1, 5), date(2026, 12, 25), "done late")):  # fmt: skip
        found = generation(on, **small, **{"dates.generation_told": told})
        assert (found.state, found.by) == (state, date(2026, 12, 24))  # 26 November and 28 days: 4 and 24 in December


def test_panels_and_a_battery_of_its_own_are_counted_together_and_on_their_lines():
    both = {"generation.inverter_a": measured(10), "storage.fitted": True, "storage.inverter_a": measured(10)}
    assert generation(**both).clock == "generation_consent"
    assert "20 A" in generation(**both).says
    assert generation(**both, **{"storage.coupling": "DC"}).clock == "generation_notice"
    three = {**both, "supply.phases": 3, "generation.line": "L1"}
    assert generation(**three, **{"storage.line": "L2"}).clock == "generation_notice"
    assert generation(**three, **{"storage.line": "L1"}).clock == "generation_consent"


def test_a_car_that_sends_power_back_counts_as_generation():
    found = generation(**{"generation.inverter_a": measured(10), "charge_point.sends_power_back": True})
    assert found.clock == "generation_consent"


def test_generation_that_must_be_agreed_is_owed_until_it_is_and_overdue_once_it_runs():
    large = {"generation.inverter_a": measured(20)}
    planned = generation(**large, **{"dates.planned": date(2026, 12, 10)})
    assert (planned.state, planned.by, planned.ask) == ("owed", date(2026, 12, 10), "generation.approval_reference")
    assert generation(**large, **{"generation.commissioned": ON}).state == "overdue"
    assert generation(**large, **{"generation.commissioned": date(2026, 12, 10)}).state == "owed"
    agreed = generation(**large, **{"generation.commissioned": ON, "generation.approval_reference": "a letter"})
    assert (agreed.state, agreed.ask) == ("done", None)


def test_what_is_not_known_of_generation_is_asked():
    assert generation(**{"generation.inverter_a": None}).ask == "generation.inverter_a"
    assert generation(**{"generation.inverter_a": assumed(14, 18)}).ask == "generation.inverter_a"
    assert generation(**{"generation.inverter_a": assumed(17, 18)}).clock == "generation_consent"
    assert generation(**{"generation.inverter_a": assumed(14, 16)}).clock == "generation_notice"
    assert generation(**{"generation.part_of_this_job": None}).ask == "generation.part_of_this_job"
    others = house({**ASKED_NOTHING, "generation.fitted": True, "generation.part_of_this_job": False})
    assert not [each for each in programme(others, ON) if each.clock.startswith("generation")]


def test_the_clock_and_the_table_of_the_notice_say_the_same_days():
    days = next(row for row in rows("gb/network_notice") if row["name"] == "generation_notify_within_days")
    assert CLOCKS["generation_notice", ""]["span"] == days["value"]


def test_what_is_to_be_agreed_before_stands_on_the_day_planned_while_that_is_to_come():
    for on, by in ((date(2026, 12, 10), date(2026, 12, 10)), (date(2026, 12, 11), None)):
        job = house({**ASKED_NOTHING, "supply.looped": True, "dates.planned": date(2026, 12, 10)})
        found = next(each for each in programme(job, on) if each.clock == "network_notice")
        assert (found.state, found.by) == ("owed", by)
