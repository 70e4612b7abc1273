"""Readings of sensors and things of the sketch where the server does not answer; and what must wait for it, says so."""

import pytest
from browsing import judged, opened
from no_signal import NEEDED_MS, back, gone, kept_for_today, unsent
from playwright.sync_api import expect

KEPT = "kept on this phone, not sent yet"


def read_sensors(page, supply, inverter):
    boxes = page.locator("input[id*='.shown['][id$='.kw~box']")
    boxes.nth(0).fill(supply)
    boxes.nth(1).fill(inverter)
    page.locator("[id$='.car_a~box']").fill("0")
    page.get_by_role("button", name="Keep it, and say what it proves").tap()


def readings_of(page, home):
    page.goto(f"{home}/sensors")
    return page.locator("#so-far > ol > li")


def draw_wall(page, home, wall, name, *, start=("0", "0"), end=("4000", "0")):
    page.goto(f"{home}/sketch/walls/{wall}")
    here = f"sketch.walls[{wall}]"
    page.locator(f"[id='{here}.name~box']").fill(name)
    for which, place in (("start", start), ("end", end)):
        for axis, value in zip(("x_mm", "y_mm"), place, strict=True):
            page.locator(f"[id='{here}.{which}.{axis}~box']").fill(value)
    page.get_by_role("button", name="Keep it, and draw it").tap()


def read_without_signal(quiet_phone, server, now):
    """A phone with its first reading kept at that time, the job's address, and how many readings there were."""
    page = quiet_phone()
    home = kept_for_today(page, "Larch House")
    before = readings_of(page, home).count()
    gone(page, server)
    page.clock.set_fixed_time(now)
    page.goto(f"{home}/sensors")
    read_sensors(page, "1.1", "0.4")
    return page, home, before


def test_two_readings_of_the_sensors_without_signal_are_two(quiet_phone, server):
    page, home, before = read_without_signal(quiet_phone, server, "2026-12-01T11:14:00Z")
    expect(page.get_by_text(f"1 {KEPT}")).to_be_visible()
    page.clock.set_fixed_time("2026-12-01T11:18:00Z")
    read_sensors(page, "2.2", "0.5")
    unsent(page, "2 unsent")
    expect(page.get_by_text(f"2 {KEPT}")).to_be_visible()
    page.reload()
    unsent(page, "2 unsent")
    back(page, server)
    unsent(page, "Nothing unsent")
    told = readings_of(page, home)
    expect(told).to_have_count(before + 2)
    for place, words in enumerate(("11:14", "11:18")):
        assert told.nth(before + place).inner_text().startswith(f"{words}, the car stopped")
    assert "1.1 kW" in told.nth(before).inner_text()
    assert "2.2 kW" in told.nth(before + 1).inner_text()
    page.goto(home)
    expect(page.get_by_role("heading", name="Changed in two places")).not_to_be_visible()


def test_a_reading_that_is_not_taken_says_why_on_every_page_until_it_is_put_right(quiet_phone, server):
    page, home, before = read_without_signal(quiet_phone, server, "2026-12-01T09:30:00Z")
    unsent(page, "1 unsent")
    back(page, server)
    unsent(page, "1 unsent, 1 not taken")
    for address in ("/", home, f"{home}/sensors"):
        page.goto(address)
        unsent(page, "1 unsent, 1 not taken")
        expect(page.get_by_text("1 could not be taken")).to_be_visible()
    why = page.locator("form[data-adds] output")
    expect(why).to_contain_text("Not taken, and kept on this phone: Time of the reading")
    expect(why).to_contain_text("09:30 comes after 10:06")
    assert page.locator("input[id$='.shown[0].kw~box']").input_value() == "1.1"
    assert page.locator("[id$='.at~box']").input_value() == "09:30"
    assert judged(page) == ([], [], False)
    page.get_by_role("link", name="see why").tap()
    expect(page.locator("[data-unsent-list] .fault")).to_have_count(1)
    assert page.locator("[data-unsent-list] .fault").inner_text().startswith("Not taken: Time of the reading")
    page.goto(f"{home}/sensors")
    page.locator("[id$='.at~box']").fill("10:30")
    page.get_by_role("button", name="Keep it, and say what it proves").tap()
    expect(page.locator("#so-far > ol > li")).to_have_count(before + 1)
    unsent(page, "Nothing unsent")
    expect(page.get_by_text("could not be taken")).not_to_be_visible()


def test_walls_drawn_without_signal_are_each_kept_and_stand_in_the_sketch(quiet_phone, server):
    page = quiet_phone()
    home = kept_for_today(page)
    gone(page, server)
    page.goto(f"{home}/sketch")
    expect(page.get_by_role("heading", name="Sketch of the site")).to_be_visible()
    draw_wall(page, home, 0, "front")
    expect(page.get_by_text(f"1 {KEPT}")).to_be_visible()
    assert page.locator("[id='sketch.walls[0].start.x_mm~box']").input_value() == "4000"
    assert judged(page) == ([], [], False)
    draw_wall(page, home, 0, "side", start=("4000", "0"), end=("4000", "3000"))
    unsent(page, "2 unsent")
    back(page, server)
    unsent(page, "Nothing unsent")
    page.goto(f"{home}/sketch")
    for words in ("1: front", "2: side"):
        expect(page.get_by_role("link", name=words)).to_be_visible()


def test_the_same_wall_on_two_phones_is_shown_and_asked(quiet_phone, server):
    far, near = quiet_phone(), quiet_phone()
    draw_wall(near, opened(near, "3 Example Terrace"), 0, "front")
    near.get_by_role("heading", name="Sketch of the site").wait_for()
    home = kept_for_today(far)
    far.context.set_offline(True)
    draw_wall(far, home, 0, "front", end=("5000", "0"))
    unsent(far, "1 unsent")
    far.reload()
    expect(far.get_by_text(KEPT)).to_be_visible()
    assert far.locator("[id='sketch.walls[0].end.x_mm~box']").input_value() == "5000"
    draw_wall(near, home, 0, "front", end=("6000", "0"))
    near.get_by_role("heading", name="Sketch of the site").wait_for()
    far.context.set_offline(False)
    unsent(far, "Nothing unsent")
    far.goto(home)
    expect(far.get_by_role("button", name="Leave 6000 mm")).to_be_visible()
    expect(far.get_by_role("button", name="Take 5000 mm")).to_be_visible()


@pytest.mark.drill
def test_the_same_sensor_on_two_phones_is_shown_and_asked(quiet_phone, server):
    far, near = quiet_phone(), quiet_phone()
    home = kept_for_today(far, "Larch House")
    far.context.set_offline(True)
    for page, name in ((far, "street"), (near, "mains")):
        page.goto(f"{home}/part/sensors")
        box = page.locator("[id='sensors[0].name~box']")
        page.evaluate("document.querySelectorAll('main details').forEach((each) => { each.open = true; })")
        box.fill(name)
        page.get_by_role("button", name="Save and judge again").tap()
        if page is far:
            unsent(far, "1 unsent")
    near.get_by_role("heading", name="What it changed").wait_for()
    far.context.set_offline(False)
    unsent(far, "Nothing unsent")
    far.goto(home)
    expect(far.get_by_role("button", name="Leave mains")).to_be_visible()
    expect(far.get_by_role("button", name="Take street")).to_be_visible()


def test_what_the_server_must_work_out_says_that_it_waits_and_keeps_what_was_typed(quiet_phone, server):
    page = quiet_phone()
    page.goto("/")
    page.get_by_label("What the job is, in a line").fill("7 Sample Street")
    server.kill()
    page.get_by_role("button", name="Begin the job").tap()
    expect(page.get_by_text("it waits here; touch it again with signal")).to_be_visible(timeout=NEEDED_MS)
    assert page.get_by_label("What the job is, in a line").input_value() == "7 Sample Street"
    assert judged(page) == ([], [], False)
    server.start_again()
    page.get_by_role("button", name="Begin the job").tap()
    expect(page.get_by_role("heading", name="7 Sample Street")).to_be_visible()


@pytest.mark.drill
def test_a_search_for_designs_without_signal_says_that_it_waits(quiet_phone, server):
    page = quiet_phone()
    page.goto(f"{opened(page, 'Larch House')}/design")
    server.kill()
    page.get_by_role("button", name="Search the catalogue").tap()
    expect(page.get_by_text("Nothing is lost; begin again with signal")).to_be_visible()
