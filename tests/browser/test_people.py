"""Signing in, the people of the firm, a customer's link and the steps for a phone, as they are touched."""

import re

import pytest
from browsing import PHONE, Server, judged
from playwright.sync_api import expect
from signing import OUR, PASSWORD

from ampwright.deliver.store.databases import engine
from ampwright.deliver.store.people import People

LOOKS = [{"color_scheme": "light"}, {"color_scheme": "dark"}, {"viewport": {"width": 1280, "height": 800},
                                                              "is_mobile": False}]  # fmt: skip


@pytest.fixture
def office(chromium, tmp_path):
    """A server for others than this machine, and a phone before it."""
    opened = engine(tmp_path / "ampwright.db")
    People(opened).add(firm=OUR, login="ann@example.org", name="Ann Example", role="owner", password=PASSWORD)
    opened.dispose()
    server = Server(tmp_path, "--listen", "0.0.0.0", "--plain")
    address = f"http://127.0.0.1:{server.address.rsplit(':', 1)[1]}"
    contexts = []

    def open_one(**settings):
        context = chromium.new_context(**{**PHONE, "base_url": address, **settings})
        contexts.append(context)
        return context.new_page()

    yield open_one
    for context in contexts:
        context.close()
    server.kill()


def sign_in(page, login="ann@example.org", password=PASSWORD):
    page.goto("/")
    page.get_by_label("Sign-in name").fill(login)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Sign in").tap()


def let_in(page, name, login, role):
    page.get_by_role("link", name="People", exact=True).wait_for()
    page.goto("/people")
    page.get_by_label("Name, as it shall stand").fill(name)
    page.get_by_label("Sign-in name, such as").fill(login)
    page.locator("#role").select_option(role)
    page.get_by_role("button", name="Let them in").tap()
    return page.locator(".first-password").inner_text()


@pytest.mark.parametrize("settings", LOOKS, ids=["light", "dark", "office"])
def test_every_page_about_people(office, settings):
    page = office(**{**settings, "has_touch": True})
    page.goto("/sign-in")
    assert judged(page) == ([], [], False)
    sign_in(page, password="another word or two")
    expect(page.get_by_role("heading", name="Not signed in")).to_be_visible()
    assert judged(page) == ([], [], False)
    sign_in(page)
    page.get_by_role("heading", name="Jobs", exact=True).wait_for()
    home = page.locator(".jobs a").first.get_attribute("href")
    assert len(let_in(page, "Bo Sample", "bo@example.org", "reader")) == 19
    assert judged(page) == ([], [], False)
    page.goto(f"{home}/share")
    page.get_by_role("button", name="Make a link").tap()
    link = page.get_by_label("The link").input_value()
    for address in ("/", "/me", "/people", home, f"{home}/share", re.sub("^http://[^/]+", "", link), "/phone"):
        page.goto(address)
        assert judged(page) == ([], [], False), address


def test_a_new_person_is_let_in_chooses_a_password_and_may_only_read(office):
    owner, new = office(), office()
    sign_in(owner)
    told = let_in(owner, "Bo Sample", "bo@example.org", "reader")
    sign_in(new, "bo@example.org", told)
    expect(new.get_by_role("heading", name="Choose a password of your own first")).to_be_visible()
    assert judged(new) == ([], [], False)
    new.get_by_label("The password that you have now").fill(told)
    new.get_by_label("The new one, at least").fill("three plain words")
    new.get_by_label("The new one again").fill("three plain words")
    new.get_by_role("button", name="Change it").tap()
    new.get_by_role("link", name="3 Example Terrace").tap()
    new.get_by_role("heading", name="The line", exact=True).wait_for()
    expect(new.get_by_role("link", name="People", exact=True)).not_to_be_visible()
    new.goto(f"{new.url}/part/cut-out")
    expect(new.get_by_text("You may read this, not change it")).to_be_visible()
    expect(new.get_by_role("button", name="Save and judge again")).not_to_be_visible()
    assert judged(new) == ([], [], False)


def test_a_role_is_changed_an_entry_bears_its_name_and_signing_out_holds(office):
    owner, new = office(), office()
    sign_in(owner)
    let_in(owner, "Bo Sample", "bo@example.org", "designer")
    owner.get_by_text("Change what Bo Sample may do").tap()
    owner.get_by_label("Role").first.select_option("installer")
    owner.get_by_role("button", name="Give this role").tap()
    expect(owner.get_by_text("bo@example.org · installer")).to_be_visible()
    owner.goto("/")
    owner.get_by_role("link", name="3 Example Terrace").tap()
    owner.get_by_role("heading", name="The line", exact=True).wait_for()
    home = owner.url
    owner.goto(f"{home}/part/board")
    owner.locator("details[id='installation.spare_way']").evaluate("each => { each.open = true; }")
    owner.locator("details[id='installation.spare_way']").get_by_text("Yes", exact=True).tap()
    owner.get_by_role("button", name="Save and judge again").tap()
    expect(owner.get_by_text("Ann Example,")).to_be_visible()
    owner.get_by_role("link", name="Ann Example").tap()
    owner.get_by_role("button", name="Sign out here").tap()
    owner.get_by_role("heading", name="Sign in", exact=True).wait_for()
    owner.goto(home)
    expect(owner.get_by_role("heading", name="Sign in", exact=True)).to_be_visible()
    assert new.goto(home).url.count("/sign-in")
