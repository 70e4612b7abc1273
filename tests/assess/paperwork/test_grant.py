"""The grant's rules by the day of the application: which are held for it, and each turning point."""

import datetime

import pytest

from ampwright.assess.paperwork.grant import JUDGES, RULES, rulings
from ampwright.deliver.demo import FINISHED, demo_files
from ampwright.facts import rows
from ampwright.job.files import parse
from ampwright.job.paths import changed
from ampwright.working import Verdict

TODAY = datetime.date(2026, 10, 10)
DONE = parse(demo_files()[FINISHED])
MET, NOT_MET, UNKNOWN, OURS = (Verdict.MET, Verdict.NOT_MET, Verdict.NOT_YET_KNOWN, Verdict.FOR_THE_DESIGNER)
HOME = ("site.tenure", "site.dwelling", "site.parking")
OFF_STREET = "private, off the street"


def ruled(new, today=TODAY):
    return {each.rule: each for each in rulings(changed(DONE, new), today)}


def verdict(rule, new, today=TODAY):
    return ruled(new, today)[rule].verdict


def test_every_judge_has_a_rule_and_every_rule_names_where_it_was_seen():
    assert set(JUDGES) <= {row["rule"] for row in rows(RULES)}
    assert [row["rule"] for row in rows(RULES) if "copy_" not in row["where"]] == ["no_earlier_grant"]
    assert [row["rule"] for row in rows(RULES) if row["trust"] == "memory"] == ["no_earlier_grant"]


@pytest.mark.parametrize(("applied", "copy", "ordered"), [
    ("2026-03-31", "copy_grant_renters_older", False),
    ("2026-04-01", "copy_grant_renters", True),
    ("2027-03-31", "copy_grant_renters", True),
])  # fmt: skip
def test_the_rules_are_those_of_the_day_of_the_application(applied, copy, ordered):
    # The text with GBP 500 alone speaks of a vehicle delivered within three months; it holds from 1 April 2026
    found = ruled({"dates.grant_applied": datetime.date.fromisoformat(applied)})
    assert found["rents_or_owns_flat"].row["where"].endswith(f": {copy}")
    assert ("ordered_vehicle_comes" in found) is ordered


def test_no_rule_is_held_for_a_day_after_the_grant_ends():
    # Applications end on 31 March 2027 (trade press on the rate, two pages)
    assert ruled({"dates.grant_applied": datetime.date(2027, 4, 1)}) == {}


def test_without_an_application_the_rules_are_those_of_today():
    assert "ordered_vehicle_comes" not in ruled({"dates.grant_applied": None}, datetime.date(2026, 3, 31))
    assert "ordered_vehicle_comes" in ruled({"dates.grant_applied": None}, datetime.date(2026, 4, 1))


def test_only_the_rules_of_the_grant_that_is_asked_for_are_judged():
    assert {each.row["scheme"] for each in ruled({"grant.scheme": "landlords"}).values()} == {"", "landlords"}
    assert {each.row["scheme"] for each in ruled({"grant.scheme": None}).values()} == {""}


@pytest.mark.parametrize(("home", "renter", "driveway"), [
    (("tenant", "house", OFF_STREET), MET, MET),
    (("tenant", None, None), MET, MET),
    (("owner", "flat", OFF_STREET), MET, MET),
    (("owner", "house", OFF_STREET), NOT_MET, NOT_MET),
    (("owner", "house", "on the street"), NOT_MET, MET),
    (("owner", None, OFF_STREET), UNKNOWN, UNKNOWN),
    (("owner", "house", None), NOT_MET, UNKNOWN),
    (("landlord", "flat", OFF_STREET), NOT_MET, MET),
    ((None, "house", OFF_STREET), UNKNOWN, UNKNOWN),
])  # fmt: skip
def test_who_may_have_it_hangs_on_the_home(home, renter, driveway):
    # Renters of any home and owners of flats they live in; an owner-occupied house with a driveway may not
    found = ruled(dict(zip(HOME, home, strict=True)))
    assert (found["rents_or_owns_flat"].verdict, found["no_owner_with_driveway"].verdict) == (renter, driveway)


@pytest.mark.parametrize(("parking", "off_street", "on_street"), [
    (OFF_STREET, MET, NOT_MET), ("on the street", NOT_MET, MET), ("shared", OURS, OURS), (None, UNKNOWN, UNKNOWN),
])  # fmt: skip
def test_where_the_car_is_parked(parking, off_street, on_street):
    assert verdict("parks_off_street", {"site.parking": parking}) is off_street
    street = {"site.parking": parking, "grant.scheme": "on-street parking"}
    assert verdict("parks_on_street", street) is on_street


def test_the_street_wants_the_council_and_the_landlord_lets():
    street = {"grant.scheme": "on-street parking"}
    assert verdict("council_agrees", street) is UNKNOWN
    assert verdict("council_agrees", {**street, "grant.pavement_channel": "licence, flush channel"}) is MET
    assert verdict("channel_first", street) is OURS
    lets = {"grant.scheme": "landlords"}
    assert [verdict("lets_home", {**lets, "site.tenure": each}) for each in ("landlord", "owner", None)] == [
        MET, NOT_MET, UNKNOWN]  # fmt: skip


@pytest.mark.parametrize(("rated_a", "sockets_count", "answer"), [
    # 15 A at 230 V is 3.45 kW and 15.3 A is 3.519 kW; 32 A is 7.36 kW, so two sockets may have 3.68 kW, three 2.45 kW
    (15.0, 1, NOT_MET), (15.3, 1, MET), (32.0, 2, MET), (32.0, 3, OURS), (32.0, None, UNKNOWN), (None, 1, UNKNOWN),
])  # fmt: skip
def test_each_socket_gives_3_5_kw(rated_a, sockets_count, answer):
    new = {"charge_point.rated_a": rated_a, "charge_point.made.sockets_count": sockets_count}
    assert verdict("least_power", new) is answer


def test_the_warranty_the_standard_and_the_firm():
    years = "charge_point.made.warranty_years_count"
    assert [verdict("least_warranty", {years: each}) for each in (2, 3, None)] == [NOT_MET, OURS, UNKNOWN]
    made = "charge_point.made.standards"
    assert [verdict("product_standard", {made: each}) for each in ("EN 61851-1", "EN 62196", None)] == [
        MET, OURS, UNKNOWN]  # fmt: skip
    assert [verdict("firm_authorised", {"firm.grant_number": each}) for each in ("X 1", None)] == [OURS, UNKNOWN]
    before = "grant.no_earlier_grant"
    assert [verdict("no_earlier_grant", {before: each}) for each in (True, False, None)] == [MET, NOT_MET, UNKNOWN]


@pytest.mark.parametrize(("applied", "installed", "first", "in_time"), [
    # 90 days after 23 September 2026 is 22 December 2026
    ("2026-09-23", "2026-09-22", NOT_MET, MET),
    ("2026-09-23", "2026-09-23", MET, MET),
    ("2026-09-23", "2026-12-22", MET, MET),
    ("2026-09-23", "2026-12-23", MET, NOT_MET),
    ("2026-09-23", None, MET, UNKNOWN),
    (None, "2026-09-23", UNKNOWN, UNKNOWN),
])  # fmt: skip
def test_the_work_is_after_the_application_and_within_its_days(applied, installed, first, in_time):
    new = {"dates.grant_applied": applied and datetime.date.fromisoformat(applied),
           "dates.installed": installed and datetime.date.fromisoformat(installed)}  # fmt: skip
    assert (verdict("applied_first", new), verdict("done_in_time", new)) == (first, in_time)


def test_work_that_is_not_done_when_its_days_are_over_is_late():
    new = {"dates.installed": None}
    assert verdict("done_in_time", new, datetime.date(2026, 12, 22)) is UNKNOWN
    assert verdict("done_in_time", new, datetime.date(2026, 12, 23)) is NOT_MET


def test_a_ruling_says_what_the_record_holds_and_what_it_lacks():
    found = ruled({"site.dwelling": None})["rents_or_owns_flat"]
    assert found.holds == ("whether the customer owns, rents or lets the dwelling: tenant; "
                           "house or flat: not yet known")  # fmt: skip
    assert found.paths == ("site.tenure",)
    assert ruled({})["least_power"].says == "each socket gives at least 3.5 kW"
