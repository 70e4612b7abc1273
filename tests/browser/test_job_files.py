"""A file of the customer's meter on a telephone: refused with every fault, put in, told back, and taken back."""

import pytest
from browsing import judged
from meters import days
from playwright.sync_api import expect

LOOKS = [{"color_scheme": "light"}, {"color_scheme": "dark"},
         {"viewport": {"width": 1280, "height": 800}, "is_mobile": False}]  # fmt: skip


@pytest.mark.parametrize("settings", LOOKS, ids=["light", "dark", "office"])
def test_a_meter_file_is_refused_put_in_told_back_and_taken_back(phone, tmp_path, settings):
    page = phone(**settings)
    (tmp_path / "meter.csv").write_bytes(days(2))
    (tmp_path / "wrong.csv").write_bytes(days(1).replace(b",0.003", b",three"))
    page.get_by_role("link", name="Larch House").click()
    page.goto(f"{page.url}/sunshine")
    forecast = page.url
    card = page.locator("[id='installation.half_hourly.csv']")
    expect(card.get_by_text("Half-hourly readings from 2025-11-01 00:00")).to_be_visible()
    assert judged(page) == ([], [], False)

    card.get_by_label("Half-hourly readings of the meter").set_input_files(tmp_path / "wrong.csv")
    card.get_by_role("button", name="Put it in").click()
    expect(page.get_by_role("heading", name="The file was not taken in")).to_be_visible()
    expect(page.get_by_text("Wrong.csv line 8: 'three' is no energy")).to_be_visible()
    assert judged(page) == ([], [], False)

    page.goto(forecast)
    card.get_by_label("Half-hourly readings of the meter").set_input_files(tmp_path / "meter.csv")
    card.get_by_role("button", name="Put it in").click()
    expect(page.get_by_text("Read in from meter.csv: half-hourly readings from 2026-01-01")).to_be_visible()
    assert judged(page) == ([], [], False)
    page.goto(forecast)
    expect(card.get_by_role("link", name="meter.csv")).to_be_visible()
    page.go_back()
    page.get_by_role("button", name="Take this back").click()
    expect(page.get_by_text("Read in from")).to_have_count(0)
    expect(page.get_by_role("heading", name="What it changed")).to_be_visible()
    page.goto(forecast.replace("sunshine", "part/board"))
    expect(card.get_by_role("link", name="house_with_garage_meter.csv")).to_be_visible()
    assert judged(page) == ([], [], False)
