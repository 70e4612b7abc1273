"""The screens as a person meets them, held against axe-core, 44 px and the width in every state."""

import re

import pytest
from browsing import judged
from playwright.sync_api import expect

from ampwright.deliver.web.screens.listing import screens

LOOKS = [{"color_scheme": "light"}, {"color_scheme": "dark"},
         {"viewport": {"width": 1280, "height": 800}, "is_mobile": False}]  # fmt: skip


def opened(page, title="Larch House"):
    page.goto("/")
    page.get_by_role("link", name=title).click()
    page.get_by_role("heading", name="The line", exact=True).wait_for()
    return str(page.url)


@pytest.mark.parametrize(("settings", "jobs"), [
    (LOOKS[0], ("Larch House", "Upper Sample Farm", "3 Example Terrace")), (LOOKS[1], ("Larch House",)),
    (LOOKS[2], ("Upper Sample Farm",))], ids=["light", "dark", "office"])  # fmt: skip
def test_every_screen_before_anything_is_asked_of_it(phone, settings, jobs):
    page = phone(**settings)
    for title in jobs:
        home = opened(page, title)
        for screen in screens():
            page.goto(f"{home}/{screen.id}")
            assert judged(page) == ([], [], False), (title, screen.id)


@pytest.mark.parametrize("settings", LOOKS, ids=["light", "dark", "office"])
def test_the_worst_day_is_sought_and_drawn(phone, settings):
    page = phone(**settings)
    page.goto(f"{opened(page)}/load-cap")
    page.get_by_role("button", name="Try to break it").click()
    expect(page.get_by_role("heading", name="The worst day, minute by minute")).to_be_visible(timeout=30_000)
    expect(page.locator("#worst canvas")).to_have_count(2)
    ink = page.locator("#worst canvas").first.evaluate("""(canvas) => {
        const bytes = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height).data;
        return bytes.reduce((sum, each, at) => sum + (at % 4 === 3 && each > 0 ? 1 : 0), 0) / (bytes.length / 4);
    }""")
    assert ink > 0.05
    page.locator("#worst .u-over").first.hover()
    expect(page.locator("#worst .at").first).to_contain_text("highest")
    assert judged(page) == ([], [], False)


def test_designs_and_price(phone):
    page = phone()
    page.goto(f"{opened(page)}/design")
    page.get_by_role("button", name="Search the catalogue").tap()
    expect(page.get_by_role("button", name="Break it off")).to_be_visible()
    assert judged(page) == ([], [], False)
    expect(page.get_by_role("heading", name="Why others are out")).to_be_visible(timeout=60_000)
    assert judged(page) == ([], [], False)
    page.get_by_role("link", name="Price of design 1").tap()
    expect(page.get_by_text("To pay: £")).to_be_visible()
    assert judged(page) == ([], [], False)
    page.go_back()
    page.get_by_role("button", name="Take design 1 into the record").tap()
    expect(page.get_by_role("heading", name="What it changed")).to_be_visible()


def test_a_forecast_is_made_by_the_minute_and_by_the_month(phone):
    page = phone()
    page.goto(f"{opened(page)}/sunshine")
    page.get_by_label("Invented years").select_option("5")
    page.get_by_role("button", name="Make the forecast").tap()
    expect(page.get_by_role("heading", name="By way of charging, a year")).to_be_visible(timeout=120_000)
    expect(page.locator("canvas")).to_have_count(2)
    page.get_by_label("Another day of that year").fill("2025-12-21")
    page.get_by_role("button", name="Show this day").tap()
    expect(page.get_by_role("heading", name="One day by the minute: 21 December 2025")).to_be_visible()
    assert judged(page) == ([], [], False)


def test_a_run_is_broken_off(phone):
    page = phone()
    page.goto(f"{opened(page, 'Upper Sample Farm')}/sunshine")
    page.get_by_label("Invented years").select_option("100")
    page.get_by_role("button", name="Make the forecast").tap()
    expect(page.locator("[data-words]").first).to_contain_text(re.compile(r"Years: \d+ of 100"), timeout=60_000)
    page.get_by_role("button", name="Break it off").tap()
    expect(page.get_by_text("Broken off. Nothing was kept.")).to_be_visible(timeout=30_000)
    assert judged(page) == ([], [], False)


@pytest.mark.parametrize("settings", LOOKS, ids=["light", "dark", "office"])
def test_past_jobs_are_looked_through_and_judged_again(phone, settings):
    page = phone(**settings)
    page.goto("/")
    page.get_by_role("link", name="Look through past jobs").click()
    page.get_by_label("Field").first.fill("length of this stretch")
    page.get_by_label("Value, or a range").first.fill("10 to thirty")
    page.get_by_role("button", name="Look through all jobs").click()
    expect(page.get_by_role("heading", name="This cannot be asked")).to_be_visible()
    assert judged(page) == ([], [], False)
    page.get_by_label("Value, or a range").first.fill("10 to 30")
    page.get_by_role("button", name="Look through all jobs").click()
    expect(page.get_by_role("heading", name="Left open: the survey left a range")).to_be_visible()
    assert judged(page) == ([], [], False)
    page.get_by_label("By the rules of this day").fill("2025-01-01")
    page.get_by_role("button", name="Judge again").click()
    expect(page.get_by_role("heading", name="Judged again by the rules of 1 January 2025")).to_be_visible(
        timeout=120_000)  # fmt: skip
    assert judged(page) == ([], [], False)
    page.get_by_role("link", name="Larch House").first.click()
    expect(page.get_by_role("heading", name="The line", exact=True)).to_be_visible()


def test_judging_again_is_broken_off(phone):
    other, page = phone(), phone()
    other.goto(f"{opened(other, 'Upper Sample Farm')}/sunshine")
    other.get_by_label("Invented years").select_option("100")
    other.get_by_role("button", name="Make the forecast").tap()
    expect(other.locator("[data-words]").first).to_contain_text(re.compile(r"Years: \d+ of 100"), timeout=60_000)
    page.goto("/recall?says=&under=")
    page.get_by_label("By the rules of this day").fill("2024-01-01")
    page.get_by_role("button", name="Judge again").tap()
    expect(page.locator("[data-words]")).to_have_text("Waits for another run to end")
    assert judged(page) == ([], [], False)
    page.get_by_role("button", name="Break it off").tap()
    expect(page.get_by_text("Broken off. Nothing was kept.")).to_be_visible(timeout=30_000)
    other.get_by_role("button", name="Break it off").tap()


def test_the_sheet_by_touch(phone):
    page = phone()
    home = opened(page)
    page.goto(f"{home}/part/tests")
    page.get_by_role("link", name="Test sheet").tap()
    page.locator("[id='tests.r1r2_ohm~low']").fill("0,35")
    page.get_by_role("button", name="Save and judge").tap()
    expect(page.get_by_role("heading", name="Nothing was saved yet")).to_be_visible()
    assert page.locator("[id='tests.r1r2_ohm~low']").input_value() == "0,35"
    assert judged(page) == ([], [], False)
    page.locator("[id='tests.r1r2_ohm~low']").fill("0.35")
    page.get_by_role("button", name="Save and judge").tap()
    expect(page.get_by_text("Saved and judged.")).to_be_visible()
    expect(page.locator("#r1r2")).to_contain_text("Look again.")
    assert judged(page) == ([], [], False)


def test_the_sensors_by_keyboard_alone(phone):
    page = phone(viewport={"width": 1280, "height": 800}, is_mobile=False)
    page.goto(f"{opened(page, 'Upper Sample Farm')}/sensors")

    def tab_to(wanted):
        for _ in range(80):
            if page.evaluate("document.activeElement.id || document.activeElement.innerText") == wanted:
                return
            page.keyboard.press("Tab")
        raise AssertionError(f"{wanted} cannot be reached")

    for number, figure in enumerate(("1.2", "0.8", "0.5")):
        tab_to(f"tests.sensing[0].shown[{number}].kw~box")
        page.keyboard.type(figure)
    tab_to("Keep it, and say what it proves")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Readings")).to_be_visible()
    expect(page.locator("#so-far")).to_contain_text("supply L1 1.2 kW; supply L2 0.8 kW; supply L3 0.5 kW")
    assert judged(page) == ([], [], False)


def test_a_reading_that_cannot_be_judged_is_said_and_stays(phone):
    page = phone()
    page.goto(f"{opened(page)}/sensors")
    page.locator("[id='tests.sensing[2].car_a~box']").fill("60")
    page.locator("[id='tests.sensing[2].shown[0].kw~box']").fill("1")
    page.get_by_role("button", name="Keep it, and say what it proves").tap()
    expect(page.get_by_role("heading", name="Nothing was saved yet")).to_be_visible()
    assert page.locator("[id='tests.sensing[2].car_a~box']").input_value() == "60"
    assert judged(page) == ([], [], False)


def test_without_javascript_a_run_is_waited_for_and_the_table_stands(phone):
    page = phone(java_script_enabled=False)
    page.goto("/")
    page.get_by_role("link", name="Larch House").click()
    page.goto(f"{page.url}/load-cap")
    page.get_by_role("button", name="Try to break it").tap()
    expect(page.get_by_role("heading", name="The worst day, minute by minute")).to_be_visible(timeout=30_000)
    expect(page.locator("canvas")).to_have_count(0)
    expect(page.locator(".keys").first).not_to_be_visible()
    page.get_by_text("The same as a table, hour by hour").tap()
    expect(page.get_by_role("cell").first).to_be_visible()


FOLDED = """(all) => all.filter((each) => !each.checkVisibility({contentVisibilityAuto: true}))
  .map((each) => each.textContent)"""


def test_on_paper_the_working_and_the_cautions_stand_unfolded_in_dark_ink(phone):
    page = phone(color_scheme="dark")
    home = opened(page)
    page.goto(f"{home}/checks")
    steps, bar = page.locator("details .step"), page.locator("aside.unsent")
    assert steps.count() > 100
    assert steps.evaluate_all(FOLDED) != []
    expect(bar).to_be_visible()
    page.emulate_media(media="print")
    assert steps.evaluate_all(FOLDED) == []
    expect(bar).to_be_hidden()
    assert page.evaluate("getComputedStyle(document.documentElement).color") == "rgb(28, 34, 38)"
    page.goto(f"{home}/way")
    cautions = page.locator("details .caution")
    assert cautions.count() == 5
    assert cautions.evaluate_all(FOLDED) == []


def test_on_paper_a_survey_is_what_is_known_and_no_form(phone):
    page = phone()
    page.goto(f"{opened(page)}/part/cut-out")
    page.emulate_media(media="print")
    expect(page.get_by_text("Kind of fuse in the cut-out").first).to_be_visible()
    for gone in ("details.add", ".save", "form[data-photos]", "details:not([open]) fieldset"):
        assert all(not each.is_visible() for each in page.locator(gone).all()), gone
