"""Work where the server does not answer: kept pages, the outbox, conflicts, photos, the file of unsent work."""

import json

from browsing import judged
from no_signal import NEEDED_MS, add_photos, back, enter_ze, gone, kept_for_today, unsent
from playwright.sync_api import expect


def test_reload_and_entry_without_signal_and_it_is_sent_when_the_server_is_back(quiet_phone, server):
    page = quiet_phone()
    home = kept_for_today(page)
    gone(page, server)
    enter_ze(page, home, "0.21")
    unsent(page, "1 unsent")
    expect(page.get_by_text("kept on this phone, not sent yet")).to_be_visible()
    assert judged(page) == ([], [], False)
    page.reload()
    unsent(page, "1 unsent")
    assert page.locator("[id='supply.ze_ohm~low']").input_value() == "0.21"
    for address in ("", "/checks", "/history", "/photos", "/part/tests"):
        page.goto(home + address)
        unsent(page, "1 unsent")
    back(page, server)
    unsent(page, "Nothing unsent")
    page.goto(f"{home}/part/cut-out")
    expect(page.locator("details[id='supply.ze_ohm']")).to_contain_text("0.21 Ω")


def test_the_test_sheet_without_signal(quiet_phone, server):
    page = quiet_phone()
    home = kept_for_today(page)
    gone(page, server)
    page.goto(f"{home}/sheet")
    page.locator("[id='tests.r1r2_ohm~low']").fill("0.31")
    page.get_by_role("button", name="Save and judge").tap()
    unsent(page, "1 unsent")
    expect(page.get_by_text("kept on this phone, not sent yet")).to_be_visible()
    back(page, server)
    unsent(page, "Nothing unsent")
    page.goto(f"{home}/history")
    expect(page.get_by_text("0.31 Ω")).to_have_count(1)


def test_what_is_saved_again_before_it_is_sent_is_one_entry_and_no_conflict(quiet_phone, server):
    page = quiet_phone()
    home = kept_for_today(page)
    gone(page, server)
    enter_ze(page, home, "0.21")
    unsent(page, "1 unsent")
    enter_ze(page, home, "0.22")
    unsent(page, "1 unsent")
    back(page, server)
    unsent(page, "Nothing unsent")
    page.goto(home)
    expect(page.get_by_role("heading", name="Changed in two places")).not_to_be_visible()
    page.goto(f"{home}/part/cut-out")
    expect(page.locator("details[id='supply.ze_ohm']")).to_contain_text("0.22 Ω")


def test_a_page_that_is_not_kept_says_so_and_lists_what_is(quiet_phone, server):
    page = quiet_phone()
    home = kept_for_today(page)
    gone(page, server)
    page.goto(f"{home}/done/nothing")
    expect(page.get_by_role("heading", name="this page is not on this phone")).to_be_visible()
    expect(page.get_by_role("main").get_by_role("link", name="3 Example Terrace")).to_be_visible()
    assert judged(page) == ([], [], False)
    page.goto("/")
    expect(page.get_by_role("heading", name="Jobs", exact=True)).to_be_visible()


def test_the_same_field_on_two_phones_is_shown_and_asked(quiet_phone, server):
    far, near = quiet_phone(), quiet_phone()
    home = kept_for_today(far)
    far.route(f"**{home[home.index('/jobs'):]}/part/cut-out", lambda route: route.abort())
    far.goto(f"{home}/part/cut-out")
    enter_ze(far, home, "0.2")
    unsent(far, "1 unsent")
    enter_ze(near, home, "0.3")
    near.get_by_role("heading", name="What it changed").wait_for()
    far.unroute_all()
    far.goto("/unsent")
    unsent(far, "Nothing unsent")
    expect(far.get_by_text("The same was changed in two places")).to_be_visible()
    far.get_by_role("link", name="decide").tap()
    expect(far.get_by_role("button", name="Leave 0.3 Ω")).to_be_visible()
    expect(far.get_by_role("button", name="Take 0.2 Ω")).to_be_visible()


def test_thirty_photos_wait_and_are_sent_once(quiet_phone, server):
    page = quiet_phone()
    home = kept_for_today(page)
    gone(page, server)
    add_photos(page, home, 30)
    unsent(page, "30 unsent")
    page.reload()
    unsent(page, "30 unsent")
    back(page, server)
    expect(page.locator("[data-unsent-count]")).to_have_text("Nothing unsent", timeout=90_000)
    page.goto(f"{home}/photos")
    expect(page.locator(".photos img")).to_have_count(30)
    assert judged(page) == ([], [], False)
    page.goto(f"{home}/part/cut-out")
    expect(page.locator(".photos img")).to_have_count(30)
    widths = page.evaluate("""async () => { const img = document.querySelector('.photos img'); img.loading = 'eager';
                              await img.decode(); return [img.naturalWidth, img.naturalHeight]; }""")
    assert max(widths) == 1600


def test_the_file_of_unsent_work_is_taken_in_again_and_twice_is_once(quiet_phone, server, tmp_path):
    page, other = quiet_phone(), quiet_phone()
    home = kept_for_today(page)
    gone(page, server)
    enter_ze(page, home, "0.23")
    unsent(page, "1 unsent")
    add_photos(page, home, 2)
    unsent(page, "3 unsent")
    page.goto("/unsent")
    assert judged(page) == ([], [], False)
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save unsent work to a file").tap()
    file = tmp_path / "unsent.json"
    saved.value.save_as(file)
    assert len(json.loads(file.read_text())["entries"]) == 3

    server.start_again()
    for _ in range(2):
        other.goto("/unsent")
        other.locator("#unsent-file").set_input_files(file)
        expect(other.get_by_text("3 sent.")).to_be_visible(timeout=NEEDED_MS)
        unsent(other, "Nothing unsent")
    page.context.set_offline(False)
    unsent(page, "Nothing unsent")
    page.goto(f"{home}/photos")
    expect(page.locator(".photos img")).to_have_count(2)
    page.goto(f"{home}/history")
    expect(page.get_by_text("0.23 Ω")).to_have_count(1)


def test_a_file_that_is_none_is_refused_in_words(quiet_phone):
    page = quiet_phone()
    page.goto("/unsent")
    page.locator("#unsent-file").set_input_files({"name": "x.json", "mimeType": "application/json", "buffer": b"{}"})
    expect(page.get_by_text("not a file of unsent work")).to_be_visible()
    assert judged(page) == ([], [], False)


def test_what_the_server_will_not_take_stays_on_the_phone_with_the_reason(quiet_phone, server):
    page = quiet_phone()
    home = kept_for_today(page)
    gone(page, server)
    enter_ze(page, home, "0,28")
    unsent(page, "1 unsent")
    back(page, server)
    expect(page.get_by_text("1 could not be taken")).to_be_visible(timeout=NEEDED_MS)
    page.get_by_role("link", name="see why").tap()
    expect(page.get_by_text("write 0.28")).to_be_visible()
    assert judged(page) == ([], [], False)
    enter_ze(page, home, "0.28")
    expect(page.get_by_role("heading", name="What it changed")).to_be_visible()
    unsent(page, "Nothing unsent")


def test_plain_http_from_another_machine_says_so_and_how_to_mend_it(quiet_phone, server):
    page = quiet_phone()
    page.context.route("http://van.example/**", lambda route: route.fulfill(
        response=route.fetch(url=route.request.url.replace("http://van.example", server.address))))  # fmt: skip
    page.goto("http://van.example/")
    expect(page.get_by_text("No work without signal from here")).to_be_visible()
    page.get_by_role("link", name="how to mend it").tap()
    expect(page.get_by_text("ampwright serve --tls")).to_be_visible()
    assert judged(page) == ([], [], False)
