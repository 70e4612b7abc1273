"""Work without signal where people sign in: it is sent as who made it, and the next person on the phone sees none."""

import pytest
from browsing import PHONE, Server, judged
from no_signal import NEEDED_MS, add_photos, enter_ze, kept_for_today, unsent
from playwright.sync_api import expect
from signing import OUR, PASSWORD

from ampwright.deliver.store.databases import engine
from ampwright.deliver.store.people import People
from ampwright.deliver.store.sessions import Sessions
from ampwright.deliver.store.store import Store

KEPT_JOBS = "async () => (await caches.keys()).filter((each) => each.startsWith('job-')).length"
ENTRIES = """() => new Promise((resolve) => {
  indexedDB.open('ampwright-unsent', 1).onsuccess = ({ target }) => {
    const counted = target.result.transaction('unsent').objectStore('unsent').count();
    counted.onsuccess = () => { target.result.close(); resolve(counted.result); };
  };
})"""


class Van:
    """A server that Ann (an owner) and Bo (an installer of the same firm) sign in to, and the phone that they share."""

    def __init__(self, folder, chromium):
        self.place = folder / "ampwright.db"
        opened = engine(self.place)
        for login, name, role in (("ann", "Ann Example", "owner"), ("bob", "Bo Sample", "installer")):
            People(opened).add(firm=OUR, login=login, name=name, role=role, password=PASSWORD)
        opened.dispose()
        self.server = Server(folder, "--listen", "0.0.0.0", "--plain")
        self.server.address = f"http://127.0.0.1:{self.server.address.rsplit(':', 1)[1]}"
        self.context = chromium.new_context(**PHONE, base_url=self.server.address)
        self.broken: list[str] = []
        self.page = self.context.new_page()
        self.page.on("pageerror", lambda wrong: self.broken.append(str(wrong)))

    def sign_in(self, login):
        self.page.goto("/sign-in")
        self.page.get_by_label("Sign-in name").fill(login)
        self.page.get_by_label("Password").fill(PASSWORD)
        self.page.get_by_role("button", name="Sign in").tap()
        self.page.get_by_role("heading", name="Jobs", exact=True).wait_for()

    def session_ends(self):
        self.context.clear_cookies()

    def another_session(self, login):
        """The phone has the cookie of a new session, as after a sign-in on another page."""
        opened = engine(self.place)
        person = People(opened).named(login)
        assert person is not None
        token = Sessions(opened).begin(person)
        opened.dispose()
        self.context.add_cookies([{"name": "ampwright", "value": token, "url": self.server.address}])

    def who_entered(self, home):
        store = Store(self.place)
        told = store.history(home.rsplit("/", 1)[1])
        photos = store.photos.of_job(home.rsplit("/", 1)[1])
        store.close()
        return [each.who for each in told[:-1]], [each.who for each in photos]


@pytest.fixture
def van(chromium, tmp_path):
    found = Van(tmp_path, chromium)
    yield found
    found.context.close()
    found.server.kill()
    assert found.broken == []


def left_unsent(van):
    """Ann's job on the phone, with a reading and a photo that were not sent; the address of the job."""
    home = kept_for_today(van.page)
    van.context.set_offline(True)
    enter_ze(van.page, home, "0.21")
    unsent(van.page, "1 unsent")
    add_photos(van.page, home, 1)
    unsent(van.page, "2 unsent")
    return home


def test_the_next_person_neither_sees_nor_sends_what_the_first_one_left(van):
    page = van.page
    van.sign_in("ann")
    home = left_unsent(van)
    van.session_ends()
    van.context.set_offline(False)
    page.goto(home)
    expect(page.get_by_role("heading", name="Sign in", exact=True)).to_be_visible()
    unsent(page, "2 unsent, until you sign in")
    assert page.evaluate(KEPT_JOBS) == 0
    assert judged(page) == ([], [], False)

    van.sign_in("bob")
    unsent(page, "Nothing of yours unsent, 2 of somebody else")
    page.goto("/unsent")
    page.get_by_role("button", name="Send now").tap()
    expect(page.get_by_text("Made by somebody else: 2 entries")).to_be_visible()
    expect(page.get_by_role("main")).not_to_contain_text("Terrace")
    expect(page.get_by_role("button", name="Save unsent work to a file")).not_to_be_visible()
    assert judged(page) == ([], [], False)
    page.goto(f"{home}/part/cut-out")
    unsent(page, "Nothing of yours unsent, 2 of somebody else")
    assert page.locator("[id='supply.ze_ohm~low']").input_value() != "0.21"
    enter_ze(page, home, "0.25")
    page.get_by_role("heading", name="What it changed").wait_for()
    assert van.who_entered(home) == (["Bo Sample"], [])
    van.context.set_offline(True)
    page.goto(f"{home}/checks")
    expect(page.get_by_role("heading", name="this page is not on this phone")).to_be_visible()
    van.context.set_offline(False)

    page.goto("/me")
    page.get_by_role("button", name="Sign out here").tap()
    page.get_by_role("heading", name="Sign in", exact=True).wait_for()
    van.sign_in("ann")
    unsent(page, "Nothing unsent")
    assert van.who_entered(home) == (["Ann Example", "Bo Sample"], ["Ann Example"])
    page.goto(home)  # Bo's reading and hers are of the same field
    expect(page.get_by_role("heading", name="Changed in two places")).to_be_visible()


def test_signing_out_is_refused_with_the_count_until_a_file_has_it(van, tmp_path):
    page = van.page
    van.sign_in("ann")
    home = left_unsent(van)
    page.route("**/part/cut-out", lambda route: route.abort() if route.request.method == "POST" else route.continue_())
    van.context.set_offline(False)
    page.goto("/me")
    page.get_by_role("button", name="Sign out here").tap()
    expect(page.get_by_role("heading", name="You are still signed in")).to_be_visible(timeout=NEEDED_MS)
    expect(page.get_by_role("button", name="The file is there: sign out")).not_to_be_visible()
    count = page.evaluate(ENTRIES)
    assert count >= 1
    assert judged(page) == ([], [], False)
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save unsent work to a file").tap()
    file = tmp_path / "unsent.json"
    saved.value.save_as(file)
    page.get_by_role("button", name="The file is there: sign out").tap()
    page.get_by_role("heading", name="Sign in", exact=True).wait_for()
    unsent(page, "Nothing unsent")
    assert (page.evaluate(ENTRIES), page.evaluate(KEPT_JOBS)) == (0, 0)
    page.unroute_all()

    van.sign_in("bob")
    page.goto("/unsent")
    page.locator("#unsent-file").set_input_files(file)
    expect(page.get_by_text("Somebody else made what is in this file")).to_be_visible()
    unsent(page, "Nothing unsent")
    page.goto("/me")
    page.get_by_role("button", name="Sign out everywhere").tap()
    page.get_by_role("heading", name="Sign in", exact=True).wait_for()
    van.sign_in("ann")
    page.goto("/unsent")
    page.locator("#unsent-file").set_input_files(file)
    expect(page.get_by_text(f"{count} sent.")).to_be_visible(timeout=NEEDED_MS)
    assert van.who_entered(home) == (["Ann Example"], ["Ann Example"])


def test_nobody_is_signed_out_and_nothing_goes_while_the_server_does_not_answer(van):
    page = van.page
    van.sign_in("ann")
    left_unsent(van)
    van.context.set_offline(False)
    page.route("**/part/cut-out", lambda route: route.abort())
    page.goto("/me")
    page.route("**/who", lambda route: route.abort())
    before = page.evaluate(ENTRIES)
    page.get_by_role("button", name="Sign out here").tap()
    expect(page.get_by_text("nobody can be signed out now")).to_be_visible()
    assert (page.evaluate(ENTRIES), page.evaluate(KEPT_JOBS)) == (before, 1)
    assert before >= 1
    assert judged(page) == ([], [], False)


def test_what_was_entered_under_a_session_that_ended_is_sent_under_the_next(van):
    page = van.page
    van.sign_in("ann")
    home = left_unsent(van)
    van.session_ends()
    van.context.set_offline(False)  # the page stays open: its token is that of the session before
    expect(page.get_by_text("Sign in first, then it is sent")).to_be_visible(timeout=NEEDED_MS)
    unsent(page, "2 unsent")
    van.another_session("ann")
    stale = []

    def as_before_once(route):
        stale.append(route.request.url)
        person = page.locator("html").get_attribute("data-person") if len(stale) == 1 else None
        route.fulfill(json={"person": person, "token": "x" * 43}) if person else route.continue_()

    page.route("**/who", as_before_once)
    page.evaluate("window.dispatchEvent(new Event('online'))")
    unsent(page, "Nothing unsent")
    assert len(stale) >= 2
    ze = page.locator("details[id='supply.ze_ohm']")
    expect(ze).to_contain_text("0.21 Ω")  # loaded anew, so that the next reading is no conflict with the first
    ze.evaluate("each => { each.open = true; }")
    page.locator("[id='supply.ze_ohm~low']").fill("0.22")
    page.get_by_role("button", name="Save and judge again").tap()
    page.get_by_role("heading", name="What it changed").wait_for()
    page.goto(home)
    expect(page.get_by_role("heading", name="Changed in two places")).not_to_be_visible()
    assert van.who_entered(home) == (["Ann Example", "Ann Example"], ["Ann Example"])


def test_a_page_of_the_first_person_does_not_send_as_the_second(van):
    page = van.page
    van.sign_in("ann")
    home = kept_for_today(page)
    page.goto(f"{home}/part/cut-out")
    van.another_session("bob")  # behind the back of the page
    ze = page.locator("details[id='supply.ze_ohm']")
    ze.evaluate("each => { each.open = true; }")
    ze.get_by_text("Exact", exact=True).tap()
    page.locator("[id='supply.ze_ohm~low']").fill("0.23")
    page.locator("[id='supply.ze_ohm~because']").fill("")
    page.get_by_role("button", name="Save and judge again").tap()
    unsent(page, "1 unsent")
    expect(page.get_by_text("kept on this phone, not sent yet")).to_be_visible()
    page.goto(home)
    unsent(page, "Nothing of yours unsent, 1 of somebody else")
    assert page.evaluate(KEPT_JOBS) == 0
    assert van.who_entered(home) == ([], [])


def test_a_reader_is_offered_no_photo_form(van):
    opened = engine(van.place)
    People(opened).add(firm=OUR, login="cat", name="Cat Sample", role="reader", password=PASSWORD)
    opened.dispose()
    van.sign_in("cat")
    home = kept_for_today(van.page)
    van.page.goto(f"{home}/part/cut-out")
    expect(van.page.get_by_role("heading", name="Photos")).to_be_visible()
    expect(van.page.get_by_role("button", name="Add the photos")).not_to_be_visible()
    assert judged(van.page) == ([], [], False)
