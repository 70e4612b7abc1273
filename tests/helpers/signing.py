"""Two invented firms with a person of each role, and browsers in which they are signed in."""

import itertools
import re
from functools import cache
from unittest.mock import patch

from demo_jobs import with_demo
from fastapi import FastAPI
from starlette.testclient import TestClient

from ampwright.deliver.store import passwords
from ampwright.deliver.store.people import ROLES
from ampwright.deliver.web.app import Others, create_app

AT = "https://jobs.example:8722"
OUR, OTHER = "Example Electrical", "Sample Sparks"
PASSWORD = "a word or two in a row"
_numbers = itertools.count(1)
_hashed_once = cache(passwords.hashed)


def app_of(folder) -> FastAPI:  # type: ignore[no-untyped-def]
    """The app for others, with the demo jobs; the people are `owner`, `designer`, ... and `other-owner`."""
    app = create_app(with_demo(folder / "jobs.db"), "Ann", Others(secure=True, names=("jobs.example",)))
    people = app.state.door.people
    with patch.object(passwords, "hashed", _hashed_once):
        for role in ROLES:
            people.add(firm=OUR, login=role, name=f"{role.title()} One", role=role, password=PASSWORD)
        people.add(firm=OTHER, login="other-owner", name="Other One", role="owner", password=PASSWORD)
    return app


class Browser(TestClient):
    """A browser that sends what a browser sends: where a form comes from, and the token that stood in the page."""

    def __init__(self, app: FastAPI, login: str = "") -> None:
        super().__init__(app, base_url=AT, headers={"origin": AT})
        self.here: FastAPI = app
        if login:
            person = app.state.door.people.named(login)
            self.cookies.set(app.state.door.cookie, app.state.door.sessions.begin(person))

    def sign_in(self, login: str, password: str = PASSWORD, **more: str):  # type: ignore[no-untyped-def]
        """Fill in the form."""
        return self.post("/sign-in", data={"login": login, "password": password, **more}, follow_redirects=False)

    def give(self, address: str, **typed: str):  # type: ignore[no-untyped-def]
        """Send a form with the token of the session."""
        return self.post(address, data={"form-token": self.token(), **typed}, follow_redirects=False)

    def token(self) -> str:
        """The token as it stands in a page."""
        found = re.search(r'name="form-token" value="([\w-]+)"', self.get("/me").text)
        return found[1] if found else ""


class Program(TestClient):
    """A program with a token of a person, for as much as they may; without one where no person is named."""

    def __init__(self, app: FastAPI, login: str = "", role: str = "", token: str = "") -> None:
        super().__init__(app, base_url=AT, raise_server_exceptions=False)
        if login:
            person = app.state.door.people.named(login)
            name = f"a program {next(_numbers)}"
            _, token = app.state.door.tokens.make(person, name=name, role=role or person.role, days=7)
        if token:
            self.headers["authorization"] = f"Bearer {token}"
