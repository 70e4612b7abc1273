"""The API of a server that others can reach: a token in the header, and nothing else, lets a program in."""

import datetime
import re

import pytest
from jobs_sent import API, SMALL, operation, refused
from signing import Browser, Program

from ampwright.deliver.store.firms import FirmStore
from ampwright.deliver.store.tokens import PREFIX
from ampwright.deliver.web.limits import Limit


@pytest.fixture
def terrace(firms):
    return f"{API}/jobs/{firms.state.site.store.names()[2]}"


def send(client, terrace, store, **more):
    name = terrace.rsplit("/", 1)[1]
    body = {"operation": operation(), "base": store.read(name)[1], "changes": {"supply.ze_ohm": 0.21}}
    return client.post(f"{terrace}/changes", json=body, **more)


def test_a_program_reads_and_writes_under_its_person_and_its_own_name(firms, terrace):
    store = firms.state.site.store
    program = Program(firms, "installer")
    assert program.get(terrace).json()["title"].startswith("3 Example Terrace")
    assert send(program, terrace, store).status_code == 200
    newest = store.history(terrace.rsplit("/", 1)[1])[0]
    assert newest.who == "Installer One"
    assert re.fullmatch(r"the program a program \d+ at testclient", newest.origin)


def test_without_a_token_nobody_is_let_in_and_nothing_is_told(firms, terrace):
    store, stranger = firms.state.site.store, Program(firms)
    before = store.history(terrace.rsplit("/", 1)[1])
    answers = [stranger.get(f"{API}/jobs"), stranger.get(terrace), send(stranger, terrace, store),
               stranger.get(f"{API}/jobs/{'0' * 16}")]  # fmt: skip
    for answer in answers:
        assert "no token came" in refused(answer, 401)
        assert "Terrace" not in answer.text
        assert answer.headers["www-authenticate"].startswith("Bearer ")
        assert "location" not in answer.headers
    assert store.history(terrace.rsplit("/", 1)[1]) == before


def test_a_cookie_lets_no_program_in_nor_a_page_that_sends_one(firms, terrace):
    store, browser = firms.state.site.store, Browser(firms, "owner")
    refused(browser.get(terrace), 401)
    refused(send(browser, terrace, store), 401)
    refused(send(browser, terrace, store, headers={"x-form-token": browser.token()}), 401)


def test_a_token_opens_no_page(firms):
    program = Program(firms, "owner")
    assert program.get("/", follow_redirects=False).headers["location"].startswith("/sign-in")
    assert program.get("/people", follow_redirects=False).status_code == 303
    assert program.post("/me/tokens", data={}, headers={"origin": "https://jobs.example:8722"}).status_code == 401


HEADERS = ("", "Bearer", "Bearer ", "Basic b3duZXI6eA==", "Token {}", "{}", "Bearer {}x", "Bearer {} {}",
           'Bearer "{}"', "Bearer ' or 1=1 --", "Bearer ٣", "Bearer " + "x" * 9000)  # fmt: skip


def test_another_header_is_no_token(firms, terrace):
    token = Program(firms, "owner").headers["authorization"].removeprefix("Bearer ")
    assert Program(firms).get(terrace, headers={"authorization": f"bearer {token}"}).status_code == 200
    for header in HEADERS:
        refused(Program(firms).get(terrace, headers={"authorization": header.replace("{}", token).encode()}), 401)


def test_a_token_in_an_address_is_refused_even_beside_the_right_header(firms, terrace):
    program = Program(firms, "owner")
    token = program.headers["authorization"].removeprefix("Bearer ")
    for client in (program, Program(firms)):
        for asked in (f"access_token={token}", f"token={token}", f"{token}=1", f"limit={token}", token):
            answer = client.get(f"{API}/jobs?{asked}")
            assert "a token stands in the address" in refused(answer, 401, 422)
            assert token not in answer.text
    assert "access_token" in refused(Program(firms).get(f"{API}/jobs?access_token=x"), 401, 422)


def test_a_token_in_a_body_or_a_form_lets_nobody_in(firms):
    token = Program(firms, "owner").headers["authorization"].removeprefix("Bearer ")
    body = {"operation": operation(), "record": SMALL}
    refused(Program(firms).post(f"{API}/jobs", json={**body, "access_token": token}), 401)
    refused(Program(firms).post(f"{API}/jobs", data={"access_token": token}), 401)


def test_another_firm_s_job_is_not_there(firms, terrace):
    store, theirs = firms.state.site.store, Program(firms, "other-owner")
    before = store.history(terrace.rsplit("/", 1)[1])
    assert theirs.get(f"{API}/jobs").json() == {"jobs": [], "next": None}
    assert theirs.get(f"{API}/due").json()["jobs"] == []
    for below in ("", "/file", "/history", "/assessment", "/quote", "/tests", "/due"):
        answer = theirs.get(terrace + below)
        refused(answer, 404)
        assert "Terrace" not in answer.text
    refused(send(theirs, terrace, store), 404)
    refused(theirs.get(f"{API}/jobs?after={terrace.rsplit('/', 1)[1]}"), 404)
    assert store.history(terrace.rsplit("/", 1)[1]) == before


def test_a_job_that_a_program_begins_is_its_firm_s(firms):
    answer = Program(firms, "other-owner").post(f"{API}/jobs", json={"operation": operation(), "record": SMALL})
    assert answer.status_code == 201
    store = firms.state.site.store
    other, ours = (firms.state.door.people.named(each).firm for each in ("other-owner", "owner"))
    assert FirmStore(store, other).names() == (answer.json()["job"],)
    assert answer.json()["job"] not in FirmStore(store, ours).names()


@pytest.mark.parametrize(("login", "role"), [("owner", "reader"), ("reader", "reader"), ("designer", "reader")])
def test_a_role_that_is_too_low_changes_nothing(firms, terrace, login, role):
    store, program = firms.state.site.store, Program(firms, login, role)
    before = store.history(terrace.rsplit("/", 1)[1])
    assert program.get(terrace).status_code == 200
    assert "is of a reader" in refused(send(program, terrace, store), 403)
    refused(program.post(f"{API}/jobs", json={"operation": operation(), "record": SMALL}), 403)
    assert store.history(terrace.rsplit("/", 1)[1]) == before


def test_a_token_that_ran_out_or_was_ended_is_refused_at_once(firms, terrace, monkeypatch):
    program, tokens = Program(firms, "designer"), firms.state.door.tokens
    assert program.get(terrace).status_code == 200
    now = datetime.datetime.now(datetime.UTC)
    monkeypatch.setattr(tokens, "_clock", lambda: now + datetime.timedelta(days=7, minutes=1))
    answer = program.get(terrace)
    assert "has run out, or was ended" in refused(answer, 401)
    assert 'error="invalid_token"' in answer.headers["www-authenticate"]
    monkeypatch.undo()
    designer = firms.state.door.people.named("designer")
    tokens.end(designer, tokens.standing(designer)[0].id)
    refused(program.get(terrace), 401)


def test_a_closed_account_shuts_its_programs_out(firms, terrace):
    program, people = Program(firms, "reader"), firms.state.door.people
    reader = people.named("reader")
    people.end(reader.firm, reader.id)
    refused(program.get(terrace), 401)


def test_whoever_asks_too_often_is_told_to_wait_in_the_api_s_own_way(firms):
    firms.state.door.limits.asked = Limit(2, 60)
    program = Program(firms, "owner")
    answers = [program.get(f"{API}/jobs") for _ in range(3)]
    assert [each.status_code for each in answers] == [200, 200, 429]
    refused(answers[-1], 429)
    assert 0 < int(answers[-1].headers["retry-after"]) <= 60


def test_the_document_says_how_a_token_is_sent(firms, client):
    ours, local = Program(firms).get(f"{API}/openapi.json").json(), client.get(f"{API}/openapi.json").json()
    for told in (ours, local):
        scheme = told["components"]["securitySchemes"]["token"]
        assert (scheme["type"], scheme["scheme"]) == ("http", "bearer")
    assert (ours["security"], local["security"]) == ([{"token": []}], [{}, {"token": []}])
    open_to_all = {path for path, methods in ours["paths"].items() for each in methods.values()
                   if each.get("security") == []}  # fmt: skip
    assert open_to_all == {f"{API}/problems"}
    assert {"401", "403", "429"} <= set(ours["paths"][f"{API}/jobs/{{job}}"]["get"]["responses"])


def test_a_token_is_made_on_the_page_of_the_account_shown_once_and_ended_there(firms, terrace):
    browser = Browser(firms, "designer")
    answer = browser.give("/me/tokens", name="Night run <b>", role="reader", days="31")
    token = re.findall(rf">({PREFIX}[\w-]{{43}})<", answer.text)[0]
    assert "Night run &lt;b&gt;" in answer.text
    page = browser.get("/me").text
    assert token not in page
    program = Program(firms, token=token)
    assert program.get(terrace).status_code == 200
    refused(program.post(f"{API}/jobs", json={"operation": operation(), "record": SMALL}), 403)
    ends = re.findall(r'action="(/me/tokens/\w+/end)"', page)
    assert Browser(firms, "owner").give(ends[0]).status_code == 422
    assert program.get(terrace).status_code == 200
    assert browser.give(ends[0]).headers["location"] == "/me"
    refused(program.get(terrace), 401)


@pytest.mark.parametrize(("typed", "says"), [
    ({"name": "", "role": "reader", "days": "31"}, "what the token is for"),
    ({"name": "x", "role": "owner", "days": "31"}, "may not do more than"),
    ({"name": "x", "role": "reader", "days": "9999"}, "1 to 366 days"),
    ({"name": "x", "role": "reader", "days": "-1"}, "1 to 366 days"), ({}, "There is no role"),
])  # fmt: skip
def test_what_is_no_token_to_be_made_is_told_and_what_was_typed_stays(firms, typed, says):
    answer = Browser(firms, "installer").give("/me/tokens", **typed)
    assert answer.status_code == 422
    assert says in answer.text
    assert PREFIX not in answer.text
    if typed.get("name"):
        assert 'value="x"' in answer.text
