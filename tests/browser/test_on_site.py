"""The survey by touch, by keyboard, without JavaScript, with the server killed, and on two phones at once."""

from browsing import judged, terrace
from playwright.sync_api import expect


def question(page, path):
    found = page.locator(f"details[id='{path}']")
    if not found.evaluate("each => each.open"):
        found.locator("summary").click()
    return found


def measure_ze(page, home, value, tap=True):
    page.goto(f"{home}/part/cut-out")
    ze = question(page, "supply.ze_ohm")
    exact = ze.get_by_text("Exact", exact=True)
    exact.tap() if tap else exact.click()
    page.locator("[id='supply.ze_ohm~low']").fill(value)
    page.locator("[id='supply.ze_ohm~because']").fill("")


def save(page):
    page.get_by_role("button", name="Save and judge again").click()


def test_a_part_is_touched_a_reading_typed_and_the_answers_move(phone):
    page = phone()
    terrace(page)
    page.locator("svg.line a").filter(has_text="Cut-out").tap()
    rating = question(page, "supply.cutout.rating_a")
    rating.get_by_text("Exact", exact=True).tap()
    page.locator("[id='supply.cutout.rating_a~low']").fill("100")
    page.locator("[id='supply.cutout.rating_a~because']").fill("the operator's record")
    page.locator("[id='supply.cutout.rating_known_by~box']").select_option("operator's record")
    expect(page.get_by_text("2 not saved yet")).to_be_visible()
    save(page)

    expect(page.get_by_role("heading", name="What it changed")).to_be_visible()
    expect(page.locator(".changes")).to_contain_text("60 to 100 A")
    expect(page.locator(".says")).to_contain_text("Can the supplier's cut-out carry the house and the car?")
    expect(page.locator(".says")).to_contain_text("Not yet known → met.")
    assert judged(page) == ([], [], False)


def test_take_this_back(phone):
    page = phone()
    home = terrace(page)
    measure_ze(page, home, "0.2")
    save(page)
    page.get_by_role("button", name="Take this back").tap()
    expect(page.locator(".changes")).to_contain_text("0.2 Ω → 0.1 to 0.35 Ω")


def test_what_is_wrong_is_said_and_what_was_typed_stays(phone):
    page = phone()
    home = terrace(page)
    measure_ze(page, home, "0,28")
    save(page)

    expect(page.get_by_role("heading", name="Nothing was saved yet")).to_be_visible()
    expect(page.get_by_text("write 0.28").first).to_be_visible()
    assert page.locator("[id='supply.ze_ohm~low']").input_value() == "0,28"
    assert judged(page) == ([], [], False)
    page.locator("[id='supply.ze_ohm~low']").fill("0.28")
    save(page)
    expect(page.get_by_role("heading", name="What it changed")).to_be_visible()


def test_without_javascript(phone):
    page = phone(java_script_enabled=False)
    home = terrace(page)
    page.goto(f"{home}/part/cut-out")
    page.locator("details[id='supply.ze_ohm'] summary").tap()
    page.locator("details[id='supply.ze_ohm']").get_by_text("Exact", exact=True).tap()
    page.locator("[id='supply.ze_ohm~low']").fill("0.2")
    save(page)
    expect(page.get_by_role("heading", name="What it changed")).to_be_visible()


def test_by_keyboard_alone(phone):
    page = phone()
    home = terrace(page)
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.getAttribute('href') || ''").endswith("/part/tails"):
            break
    page.keyboard.press("Enter")
    page.wait_for_url(f"{home}/part/tails")
    for _ in range(60):
        if page.evaluate("document.activeElement.id") == "supply.tails.method~box":
            break
        if page.evaluate("document.activeElement.closest('details')?.id") == "supply.tails.method":
            page.keyboard.press("Enter")
        page.keyboard.press("Tab")
    page.keyboard.press("B")
    page.keyboard.press("Enter")
    for _ in range(60):
        if page.evaluate("document.activeElement.innerText") == "Save and judge again":
            break
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="What it changed").wait_for()
    expect(page.locator(".changes")).to_contain_text("C → B")


def test_the_server_is_killed_and_what_was_saved_stands(phone, server):
    page = phone()
    home = terrace(page)
    measure_ze(page, home, "0.21")
    save(page)
    page.get_by_role("heading", name="What it changed").wait_for()
    server.kill()
    server.start()
    page.goto(home.replace(home[: home.index("/jobs")], server.address) + "/part/cut-out")
    expect(page.locator("details[id='supply.ze_ohm']")).to_contain_text("0.21 Ω")


def test_two_phones_change_the_same_reading_and_a_person_decides(phone):
    one, other = phone(), phone()
    home = terrace(one)
    measure_ze(one, home, "0.2")
    measure_ze(other, home, "0.3")
    save(one)
    one.get_by_role("heading", name="What it changed").wait_for()
    save(other)

    expect(other.get_by_text("held back: the same was changed elsewhere")).to_be_visible()
    other.goto(home)
    expect(other.get_by_role("heading", name="Changed in two places")).to_be_visible()
    assert judged(other) == ([], [], False)
    other.get_by_role("button", name="Take 0.3 Ω").tap()
    other.get_by_role("heading", name="What it changed").wait_for()
    other.goto(home)
    expect(other.get_by_role("heading", name="Changed in two places")).not_to_be_visible()
    other.goto(f"{home}/part/cut-out")
    expect(other.locator("details[id='supply.ze_ohm']")).to_contain_text("0.3 Ω")


def test_a_new_job_grows_a_load(phone):
    page = phone()
    page.get_by_label("What the job is, in a line").fill("14 Sample Road: a new charge point")
    page.get_by_role("button", name="Begin the job").tap()
    page.get_by_role("heading", name="14 Sample Road: a new charge point").wait_for()
    assert judged(page) == ([], [], False)
    page.goto(f"{page.url}/part/board")
    page.locator("details.add summary").first.tap()
    page.locator("[id='installation.loads[0].name~box']").fill("shower")
    page.locator("[id='installation.loads[0].purpose~box']").select_option("instantaneous_water_heating")
    save(page)
    page.get_by_role("heading", name="What it changed").wait_for()
    page.go_back()
    page.reload()
    expect(page.get_by_role("heading", name="Loads, no. 1 (shower)")).to_be_visible()
    assert judged(page) == ([], [], False)
