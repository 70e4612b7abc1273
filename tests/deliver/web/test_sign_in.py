"""Signing in and out, and what a browser must bring to be believed."""

import datetime

import pytest
from signing import PASSWORD, Browser

from ampwright.deliver.store import passwords
from ampwright.deliver.store.sessions import LASTS_DAYS_COUNT
from ampwright.deliver.web.limits import Limit, address_key


def signed_in(browser):
    return browser.get("/", follow_redirects=False).status_code == 200


def test_the_right_password_opens_the_page_that_was_asked_for(firms):
    browser = Browser(firms)
    asked = browser.get("/people", follow_redirects=False)
    assert (asked.status_code, asked.headers["location"]) == (303, "/sign-in?next=%2Fpeople")
    answer = browser.sign_in("Owner ", next="/people")
    assert (answer.status_code, answer.headers["location"]) == (303, "/people")
    assert browser.get("/people").status_code == 200


def test_the_cookie_is_out_of_reach_of_script_other_sites_and_plain_http(firms):
    kept = Browser(firms).sign_in("owner").headers["set-cookie"]
    assert kept.startswith("__Host-ampwright=")
    for word in ("HttpOnly", "Secure", "SameSite=lax", "Path=/"):
        assert word in kept
    assert "Domain" not in kept


def test_the_store_has_neither_token_nor_password(firms, tmp_path):
    browser = Browser(firms)
    browser.sign_in("owner")
    token = browser.cookies[firms.state.door.cookie]
    held = b"".join(path.read_bytes() for path in tmp_path.glob("jobs.db*"))
    assert b"$argon2id$" in held
    assert token.encode() not in held
    assert PASSWORD.encode() not in held


@pytest.mark.parametrize("next_page", ["//evil.example", "/\\evil.example", "https://evil.example", "evil",
                                       "/a\r\nX: y"])  # fmt: skip
def test_no_sign_in_leads_to_another_site(firms, next_page):
    assert Browser(firms).sign_in("owner", next=next_page).headers["location"] == "/"


@pytest.mark.parametrize(("login", "password"), [("owner", "another word or two"), ("nobody", PASSWORD), ("", ""),
                                                 ("owner", ""), ("owner", "x" * 5000), ("' or 1=1 --", "x")])
def test_every_reason_why_not_has_one_answer(firms, login, password):
    browser = Browser(firms)
    answer = browser.sign_in(login, password)
    assert answer.status_code == 401
    assert "do not belong together" in answer.text
    assert "set-cookie" not in answer.headers
    assert not signed_in(browser)


def test_an_unknown_name_costs_the_same_work_as_a_known_one(firms, monkeypatch):
    checked = []

    class Counting:
        def verify(self, kept, password):
            checked.append(kept.split("$")[1:4])
            return passwords_hasher.verify(kept, password)

        def __getattr__(self, name):
            return getattr(passwords_hasher, name)

    passwords_hasher = passwords._HASHER
    monkeypatch.setattr(passwords, "_HASHER", Counting())
    for login in ("owner", "nobody"):
        Browser(firms).sign_in(login, "another word or two")
    # the same algorithm, version, memory, passes and lanes, once each
    assert len(checked) == 2
    assert checked[0] == checked[1]


def test_a_closed_account_is_shut_at_once_and_for_good(firms):
    browser, people = Browser(firms, "reader"), firms.state.door.people
    assert signed_in(browser)
    reader = people.named("reader")
    people.end(reader.firm, reader.id)
    assert not signed_in(browser)
    assert Browser(firms).sign_in("reader").status_code == 401


def test_a_session_runs_out(firms, monkeypatch):
    browser, sessions = Browser(firms, "reader"), firms.state.door.sessions
    now = datetime.datetime.now(datetime.UTC)
    for days, stands in ((LASTS_DAYS_COUNT - 0.01, True), (LASTS_DAYS_COUNT + 0.01, False)):
        monkeypatch.setattr(sessions, "_clock", lambda days=days: now + datetime.timedelta(days=days))
        assert signed_in(browser) is stands


@pytest.mark.parametrize("forge", [lambda token: token[:-1] + ("A" if token[-1] != "A" else "B"), lambda _: "",
                                   lambda _: "x" * 43, lambda _: "' or '1'='1"])  # fmt: skip
def test_a_forged_token_is_nobodys(firms, forge):
    browser = Browser(firms, "owner")
    name = firms.state.door.cookie
    token = browser.cookies[name]
    browser.cookies.set(name, forge(token))
    fresh = Browser(firms)
    fresh.cookies.set(name, forge(token))
    assert not signed_in(fresh)


def test_the_hash_in_the_store_is_no_token(firms):
    door = firms.state.door
    browser = Browser(firms, "owner")
    kept = door.sessions.of(browser.cookies[door.cookie]).hash
    assert door.sessions.of(kept) is None


def test_sign_out_here_and_everywhere(firms):
    one, two, three = (Browser(firms, "designer") for _ in range(3))
    assert one.give("/sign-out").headers["location"] == "/sign-in"
    assert [signed_in(each) for each in (one, two, three)] == [False, True, True]
    two.give("/me/sign-out-everywhere")
    assert [signed_in(each) for each in (one, two, three)] == [False, False, False]


def test_one_s_own_password(firms):
    here, elsewhere = Browser(firms, "designer"), Browser(firms, "designer")
    wrong = here.give("/me/password", password="not this one at all", new="short", again="shorter")
    assert wrong.status_code == 422
    assert "another one" in wrong.text
    assert "not typed the same twice" in wrong.text
    new = "quite another row of words"
    done = here.give("/me/password", password=PASSWORD, new=new, again=new)
    assert done.status_code == 303
    assert signed_in(here)
    assert not signed_in(elsewhere)
    assert Browser(firms).sign_in("designer").status_code == 401
    assert Browser(firms).sign_in("designer", new).status_code == 303


@pytest.mark.parametrize("new", ["elevenlettr", "designer one", "aaaaaaaaaaaaaaaa", "Example Electrical", "y" * 201])
def test_a_weak_new_password_is_refused(firms, new):
    answer = Browser(firms, "designer").give("/me/password", password=PASSWORD, new=new, again=new)
    assert answer.status_code == 422


def test_a_sign_in_form_that_says_not_where_it_is_from_is_refused(firms):
    browser = Browser(firms)
    del browser.headers["origin"]
    assert browser.sign_in("owner").status_code == 403
    assert browser.post("/sign-in", data={}, headers={"origin": "https://evil.example"}).status_code == 403


def test_too_many_wrong_tries_shut_the_address_even_for_the_right_password(firms):
    browser = Browser(firms)
    answers = [browser.sign_in("owner", f"another word or two {number}").status_code for number in range(10)]
    assert answers == [401] * 10
    shut = browser.sign_in("owner")
    assert shut.status_code == 429
    assert 0 < int(shut.headers["retry-after"]) <= 15 * 60
    assert "set-cookie" not in shut.headers


def test_right_sign_ins_are_not_counted(firms):
    assert {Browser(firms).sign_in("owner").status_code for _ in range(12)} == {303}


def test_whoever_asks_too_often_is_told_to_wait(firms):
    firms.state.door.limits.asked = Limit(3, 60)
    browser = Browser(firms, "owner")
    answers = [browser.get("/sign-in") for _ in range(4)]
    assert [each.status_code for each in answers] == [200, 200, 200, 429]
    assert "content-security-policy" in answers[-1].headers


def test_a_limit_counts_within_its_time():
    now = [0.0]
    limit = Limit(2, 10, clock=lambda: now[0])
    assert [limit.take("a"), limit.take("a"), limit.take("a"), limit.take("b")] == [0, 0, 10, 0]
    now[0] = 9.5
    assert limit.take("a") == 1
    now[0] = 10.0
    assert limit.take("a") == 0
    limit.give_back("a")
    assert [limit.take("a"), limit.take("a"), limit.take("a")] == [0, 0, 10]


@pytest.mark.parametrize(("address", "key"), [("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"), ("192.0.2.7", "192.0.2.7"),
                                              ("::ffff:192.0.2.7", "192.0.2.7"), ("fe80::1%eth0", "fe80::/64")])
def test_an_ipv6_address_counts_by_its_network(address, key):
    assert address_key(address) == key
