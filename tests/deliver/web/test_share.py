"""Links for customers: what they show, and that none can be made up, stretched or used after its time."""

import datetime
import html
import re

import pytest
from signing import Browser

from ampwright.deliver.store.sharing import Shares
from ampwright.deliver.web.share_pages import customer_rows, seen
from ampwright.job.fields import fields


@pytest.fixture
def link(firms):
    """A link to the demo job that has the most in it."""
    browser = Browser(firms, "designer")
    name = firms.state.site.store.names()[0]
    browser.give(f"/jobs/{name}/share", days="3")
    text = html.unescape(browser.get(f"/jobs/{name}/share").text)
    return re.findall(r"/shared/[\w.]+", text)[0]


def test_a_customer_reads_without_a_password_and_changes_nothing(firms, link):
    answer = Browser(firms).get(link)
    assert answer.status_code == 200
    assert "Larch House" in answer.text
    assert "The most current that it can give" in answer.text
    assert "<form" not in answer.text
    assert "/jobs/" not in answer.text
    assert answer.headers["cache-control"] == "no-store"
    assert Browser(firms).post(link, data={}).status_code == 405


def test_a_customer_sees_the_table_and_nothing_beside_it(firms, link):
    job, _ = firms.state.site.store.read(firms.state.site.store.names()[0])
    text = Browser(firms).get(link).text
    assert job.people
    for each in job.people:
        for private in (each.phone, each.email, each.postcode):
            assert private is None or private not in text
    assert {row["path"] for row in customer_rows()} <= set(fields())


def test_the_surveyors_notes_are_left_out():
    values = {"tests": {"zs_ohm": {"low": 0.4, "high": 0.6, "because": "the tenant would not let me in"}}}
    assert seen(values) == (("Tests of the finished circuit",
                             (("Earth fault loop impedance at the charge point, Zs", "0.4 to 0.6 Ω"),)),)  # fmt: skip


def forgeries(link):
    share, until, signed = link.removeprefix("/shared/").split(".")
    yield f"{share}.{int(until) + 86400}.{signed}"
    yield f"{'0' * 16}.{until}.{signed}"
    yield f"{share}.{until}.{'0' * 64}"
    yield f"{share}.{until}.{signed[:-1]}"
    yield f"{share}.{until}"
    yield f"{share}.-1.{signed}"


def test_a_forged_link_opens_nothing(firms, link):
    for each in forgeries(link):
        answer = Browser(firms).get(f"/shared/{each}")
        assert answer.status_code == 404, each
        assert "Larch House" not in answer.text


def test_a_link_of_another_store_s_key_opens_nothing(firms, link, tmp_path):
    share = firms.state.door.shares.of(link.removeprefix("/shared/"))
    firms.state.door.shares._key = b"another key"
    assert firms.state.door.shares.of(link.removeprefix("/shared/")) is None
    assert Shares(firms.state.site.store.engine).token(share) == link.removeprefix("/shared/")


def test_a_link_runs_out(firms, link, monkeypatch):
    now = datetime.datetime.now(datetime.UTC)
    for days, status in ((2.99, 200), (3.01, 404)):
        monkeypatch.setattr(firms.state.door.shares, "_clock", lambda days=days: now + datetime.timedelta(days=days))
        assert Browser(firms).get(link).status_code == status


def test_a_link_is_ended(firms, link):
    name = firms.state.site.store.names()[0]
    share = link.removeprefix("/shared/").split(".")[0]
    Browser(firms, "other-owner").give(f"/jobs/{name}/share/{share}/end")
    assert Browser(firms).get(link).status_code == 200
    Browser(firms, "owner").give(f"/jobs/{name}/share/{share}/end")
    assert Browser(firms).get(link).status_code == 404


@pytest.mark.parametrize("days", ["0", "91", "-3", "x", "", "9999999"])
def test_how_long_a_link_stands(firms, days):
    name = firms.state.site.store.names()[0]
    answer = Browser(firms, "owner").give(f"/jobs/{name}/share", days=days)
    assert answer.status_code == 422
    assert "1 to 90 days" in answer.text
