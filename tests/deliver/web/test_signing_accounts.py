"""Who may sign for whom where there are accounts, and what is kept and printed of it."""

import pytest
from issuing import STROKES
from signing import Browser

from ampwright.deliver.demo import demo_files
from ampwright.deliver.issuing import pack_of, to_be_signed
from ampwright.deliver.store.firms import FirmStore
from ampwright.deliver.store.trust import TrustBook


@pytest.fixture
def made(firms):
    """A job of the firm whose installer has the name that the test gives; its id."""
    firm = firms.state.door.people.named("owner").firm
    store = FirmStore(firms.state.site.store, firm)

    def make(installer):
        text = demo_files()["bungalow.yaml"].replace("B. Specimen", installer)
        return store.take_in(text, operation="signed-with-accounts", who="Owner One", origin="a page")

    return make


def sign(firms, login, job):
    browser = Browser(firms, login)
    seen = to_be_signed(firms.state.site.store.read(job)[0])
    page = browser.get(f"/jobs/{job}/sign").text
    return page, browser.give(f"/jobs/{job}/sign", role="installer", strokes=STROKES, typed="", seen=seen)


def kept(firms, job):
    return [each.who for each in TrustBook(firms.state.site.store.engine).signatures(job)]


def test_whoever_is_signed_in_signs_for_themselves(firms, made):
    job = made("Installer  one")
    page, answer = sign(firms, "installer", job)
    assert "signed in as Installer One, installer" in page
    assert answer.status_code == 303
    assert kept(firms, job) == ["signed in as Installer One, installer"]
    (signed,) = pack_of(firms.state.site.store, job).signed
    assert signed.how == "signed in as Installer One, installer"


@pytest.mark.parametrize("login", ["owner", "designer"])
def test_nobody_signs_for_somebody_who_has_an_account(firms, made, login):
    job = made("Installer One")
    page, answer = sign(firms, login, job)
    assert "Cannot be signed here: Installer One has an account and signs in to sign" in page
    assert answer.status_code == 422
    assert kept(firms, job) == []


def test_an_owner_hands_their_phone_to_somebody_without_an_account(firms, made):
    job = made("B. Specimen")
    page, answer = sign(firms, "owner", job)
    assert "on the phone of Owner One, owner" in page
    assert answer.status_code == 303
    assert kept(firms, job) == ["on the phone of Owner One, owner"]
    assert "Made: on the phone of Owner One, owner." in Browser(firms, "installer").get(f"/jobs/{job}/sign").text


def test_somebody_who_is_no_owner_hands_no_phone_over(firms, made):
    job = made("B. Specimen")
    page, answer = sign(firms, "installer", job)
    assert "sign for yourself alone" in page
    assert answer.status_code == 422
    assert kept(firms, job) == []


def test_a_closed_account_signs_no_more_and_an_owner_may_hand_over_their_phone(firms, made):
    job = made("Installer One")
    people = firms.state.door.people
    people.end(people.named("owner").firm, people.named("installer").id)
    assert sign(firms, "owner", job)[1].status_code == 303
