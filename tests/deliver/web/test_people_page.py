"""What an owner does about the people of the firm, and about nobody else's."""

import re

import pytest
from signing import PASSWORD, Browser


def person(firms, login):
    return firms.state.door.people.named(login)


def test_somebody_is_let_in_and_must_choose_a_password(firms):
    owner = Browser(firms, "owner")
    answer = owner.give("/people", name="New One", login="new@example.org", role="installer")
    told = re.findall(r'first-password">([\w-]{19})<', answer.text)[0]
    assert told not in owner.get("/people").text
    new = Browser(firms)
    assert new.sign_in("new@example.org", told).headers["location"] == "/me"
    assert new.get("/", follow_redirects=False).headers["location"] == "/me"
    assert new.give("/me/password", password=told, new=told, again=told).status_code == 422
    new.give("/me/password", password=told, new="three plain words", again="three plain words")
    assert new.get("/", follow_redirects=False).status_code == 200
    assert person(firms, "new@example.org").firm == person(firms, "owner").firm


def test_all_faults_at_once_and_what_was_typed_stays(firms):
    answer = Browser(firms, "owner").give("/people", name="", login="A b", role="boss")
    assert answer.status_code == 422
    for words in ("sign-in name has", "name is missing", "there is no role"):
        assert words in answer.text.lower()
    assert 'value="a b"' in answer.text.lower()


def test_a_sign_in_name_is_taken_once_in_all_firms(firms):
    answer = Browser(firms, "owner").give("/people", name="X Y", login="other-owner", role="reader")
    assert answer.status_code == 422
    assert "already" in answer.text


def test_a_role_holds_at_once(firms):
    reader = Browser(firms, "reader")
    assert reader.get("/people").status_code == 403
    Browser(firms, "owner").give(f"/people/{person(firms, 'reader').id}/role", role="owner")
    assert reader.get("/people").status_code == 200


@pytest.mark.parametrize(("deed", "typed"), [("role", {"role": "reader"}), ("end", {})])
def test_the_last_owner_stays(firms, deed, typed):
    answer = Browser(firms, "owner").give(f"/people/{person(firms, 'owner').id}/{deed}", **typed)
    assert answer.status_code == 422
    assert "only owner" in answer.text
    assert person(firms, "owner").role == "owner"
    assert person(firms, "owner").ended is None


@pytest.mark.parametrize(("deed", "typed"), [("role", {"role": "reader"}), ("end", {}), ("password", {})])
def test_nobody_of_another_firm_is_reached(firms, deed, typed):
    before = person(firms, "designer")
    answer = Browser(firms, "other-owner").give(f"/people/{before.id}/{deed}", **typed)
    assert answer.status_code == 422
    assert "no such person in this firm" in answer.text
    assert person(firms, "designer") == before
    assert Browser(firms).sign_in("designer", PASSWORD).status_code == 303


def test_a_new_first_password_signs_out_and_shuts_the_old_one(firms):
    installer = Browser(firms, "installer")
    Browser(firms, "owner").give(f"/people/{person(firms, 'installer').id}/password")
    assert installer.get("/", follow_redirects=False).status_code == 303
    assert Browser(firms).sign_in("installer").status_code == 401


def test_on_this_machine_alone_there_are_no_accounts(client):
    assert client.get("/").status_code == 200
    for address in ("/people", "/me", "/sign-in"):
        answer = client.get(address)
        assert answer.status_code == 404
        assert "There are no accounts here" in answer.text
    assert "Show the customer" not in client.get("/").text
