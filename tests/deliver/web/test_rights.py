"""What each role may do, held against every route that the app has; and other firms' jobs are not there."""

import inspect
import re
from typing import Any

import pytest
from fastapi.routing import iter_route_contexts
from signing import Browser, Program
from source import SRC
from starlette.routing import Mount

from ampwright.deliver.store.firms import FirmStore
from ampwright.deliver.store.people import ROLES
from ampwright.deliver.store.store import NoSuchJob, OperationReused, Store
from ampwright.deliver.web.rights import ANYONE, OWN, asked_for, doors, may, rights

# What each role may do, in the words of issue and record; written here a second time, by hand
OF_ROLE = {"owner": {"read", "survey", "design", "share", "people"}, "designer": {"read", "survey", "design", "share"},
           "installer": {"read", "survey"}, "reader": {"read"}}  # fmt: skip

SLOW = ("/design", "/visit-list", "/load-cap", "/forecast", "/routes", "/quote", "/materials", "/diagnosis")
BEGINS = {"accept": "application/json"}  # a long run is begun, and not waited for


def routes(app, *, of_api=False):
    """Every method and path of the pages, files apart; or those of the API, which takes a token and no cookie."""
    for each in iter_route_contexts(app.routes):
        if not isinstance(each.original_route, Mount) and str(each.path).startswith("/api/") is of_api:
            for method in sorted(set(each.methods or ()) - {"HEAD"}):
                yield method, each.path


def filled(app, path):
    store = app.state.site.store
    values = {"name": store.names()[2], "part": "board", "operation": "x", "token": "x", "share": "x", "person": "x",
              "job": store.names()[2]}
    return re.sub(r"\{(\w+)\}", lambda found: values.get(found[1], "x"), path)


def test_every_route_has_a_right_and_every_right_a_route(firms):
    found = {*routes(firms), *routes(firms, of_api=True)}
    assert len(found) > 100
    assert {each for each in found if asked_for(*each) is None} == set()
    assert set(doors()) - found == set()
    assert set(doors().values()) <= {*rights(), ANYONE, OWN}


def test_the_table_says_what_the_roles_are(firms):
    for role in ROLES:
        assert {each for each in rights() if may(role, each)} == OF_ROLE[role]
    assert not may("owner", "everything")


@pytest.mark.parametrize("role", ["nobody", *ROLES])
def test_each_role_at_every_route(firms, role):
    browser = Browser(firms, "" if role == "nobody" else role)
    token = browser.token() if role != "nobody" else ""
    for method, path in routes(firms):
        right = asked_for(method, path)
        if path in ("/sign-out", "/me/sign-out-everywhere"):
            continue  # shown in test_sign_in
        address = filled(firms, path)
        sent: dict[str, Any] = {"data": {"form-token": token}, "headers": BEGINS} if method == "POST" else {}
        answer = browser.request(method, address, follow_redirects=False, **sent)
        if right == ANYONE:
            assert answer.status_code in (200, 401, 404), path
        elif role == "nobody":
            assert (answer.status_code, answer.headers.get("location", "")[:8]) == (
                (303, "/sign-in") if method == "GET" else (401, "")), path  # fmt: skip
        elif right == OWN or right in OF_ROLE[role]:
            assert answer.status_code not in (401, 403), path
            assert "/sign-in" not in answer.headers.get("location", ""), path
        else:
            assert answer.status_code == 403, path
            assert "not yours to do" in answer.text


@pytest.mark.parametrize("role", ["nobody", *ROLES])
def test_each_role_at_every_address_of_the_api(firms, role):
    client = Program(firms, "" if role == "nobody" else role)
    for method, path in routes(firms, of_api=True):
        right = asked_for(method, path)
        if role != "nobody" and any(each in path for each in SLOW):
            continue  # all may read these, and working them out takes long
        answer = client.request(method, filled(firms, path), json={} if method == "POST" else None)
        if right == ANYONE:
            assert answer.status_code == 200, path
        elif role == "nobody":
            assert (answer.status_code, "bearer" in answer.headers["www-authenticate"].lower()) == (401, True), path
        elif right in OF_ROLE[role]:
            assert answer.status_code not in (401, 403), path
        else:
            assert answer.status_code == 403, path
            assert "not yours to do" in answer.text


def test_a_route_that_no_table_names_is_nobodys(firms):
    firms.add_api_route("/new", lambda: "secret", methods=["GET"])
    assert ("GET", "/new") in set(routes(firms))
    answer = Browser(firms, "owner").get("/new")
    assert answer.status_code == 403
    assert "secret" not in answer.text


@pytest.mark.parametrize("token", ["", "x" * 43, None])
def test_a_form_without_the_token_of_its_session_changes_nothing(firms, token):
    store, browser = firms.state.site.store, Browser(firms, "owner")
    name = store.names()[2]
    before = store.history(name)
    data = {"installation.surge_protection": "true"} | ({} if token is None else {"form-token": token})
    for method, path in routes(firms):
        if method == "POST" and path != "/sign-in":
            answer = browser.post(filled(firms, path), data=data, follow_redirects=False)
            assert answer.status_code == 403, path
            assert "before you signed in" in answer.text
    assert store.history(name) == before


def test_the_token_of_another_session_does_not_do(firms):
    other = Browser(firms, "owner").token()
    browser = Browser(firms, "owner")
    assert browser.token() != other
    assert browser.post("/people", data={"form-token": other}).status_code == 403


def test_every_form_of_every_template_brings_the_token(firms):
    browser = Browser(firms, "owner")
    home = f"/jobs/{firms.state.site.store.names()[2]}"
    browser.give(f"{home}/share", days="3")
    seen = 0
    for address in ("/", "/me", "/people", home, f"{home}/part/board", f"{home}/share"):
        text = browser.get(address).text
        forms = re.findall(r"<form method=\"post\".*?</form>", text, re.DOTALL)
        seen += len(forms)
        assert all(each.count(f'name="form-token" value="{browser.token()}"') == 1 for each in forms), address
        assert len(forms) == text.count("<form")
    assert seen > 10


def test_another_firm_s_job_is_not_there(firms):
    store = firms.state.site.store
    name = store.names()[2]
    before = store.history(name)
    browser = Browser(firms, "other-owner")
    token = browser.token()
    assert re.findall(r"/jobs/\w{16}", browser.get("/").text) == []
    for method, path in routes(firms):
        if "{name}" in path:
            sent = {"form-token": token, "item": "route[0]"} if method == "POST" else None
            answer = browser.request(method, filled(firms, path), follow_redirects=False, data=sent)
            assert answer.status_code == 404, path
            assert "no such job" in answer.text
            assert "Terrace" not in answer.text
    assert store.history(name) == before


def test_a_job_belongs_to_the_firm_that_took_it_in(firms):
    ours, theirs = Browser(firms, "designer"), Browser(firms, "other-owner")
    theirs.give("/jobs", title="7 Sample Street", operation="b" * 32)
    assert "7 Sample Street" in theirs.get("/").text
    assert "7 Sample Street" not in ours.get("/").text
    again = ours.give("/jobs", title="7 Sample Street", operation="b" * 32)
    assert again.status_code == 409


def test_every_way_into_the_store_asks_whose_the_job_is(firms):
    store = firms.state.site.store
    name = store.names()[0]
    firm = firms.state.door.people.named("other-owner").firm
    theirs = FirmStore(store, firm)
    given = {"files": (), "name": name, "new": {}, "of": "x", "seq": 1, "keep_held": True, "base": 0,
             "operation": "c" * 32, "who": "x", "origin": "x"}  # fmt: skip
    tried = []
    for way, method in inspect.getmembers(Store, inspect.isfunction):
        wanted = inspect.signature(method).parameters
        if not way.startswith("_") and "name" in wanted:
            tried.append(way)
            with pytest.raises(NoSuchJob):
                getattr(theirs, way)(**{each: given[each] for each in wanted if each in given})
    assert set(tried) >= {"read", "values", "history", "open_conflicts", "give_out", "change", "undo", "settle"}
    assert theirs.names() == ()
    assert theirs.heads() == {}
    assert store.heads()


def test_nobody_takes_a_job_over_by_its_operation(firms):
    theirs = FirmStore(firms.state.site.store, firms.state.door.people.named("other-owner").firm)
    with pytest.raises(OperationReused):
        theirs.take_in("title: theirs\n", operation="demo-terrace", who="x", origin="x")
    assert theirs.names() == ()


def test_pages_reach_the_store_by_the_door_alone():
    asked = re.compile(r"app\.state\.site")
    found = {path.name for path in (SRC / "deliver" / "web").rglob("*.py") if asked.search(path.read_text("utf-8"))}
    assert found <= {"app.py", "pages.py", "site.py", "runs.py"}


def test_what_was_entered_bears_the_name_of_who_entered_it(firms):
    store = firms.state.site.store
    browser = Browser(firms, "installer")
    home = f"/jobs/{store.names()[2]}"
    hidden = dict(re.findall(r'name="(base|operation)" value="(\w+)"', browser.get(f"{home}/part/board").text))
    browser.give(f"{home}/part/board", **hidden, **{"installation.surge_protection": "true"})
    newest = store.history(store.names()[2])[0]
    assert newest.who == "Installer One"
    assert newest.origin == "a page at testclient"
