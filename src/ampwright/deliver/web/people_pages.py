"""The people of the firm, for its owners."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from ampwright.deliver.store.passwords import first_password
from ampwright.deliver.store.people import ROLES, CannotDo, Person
from ampwright.deliver.web.look import show
from ampwright.deliver.web.rights import Right, rights
from ampwright.deliver.web.site import Form, Typed
from ampwright.deliver.web.visitors import door_of, session_of

router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class PeoplePage:
    """Who is in the firm; `told` is a person and the first password that they are to be told, shown this once."""

    owner: Person
    people: tuple[Person, ...]
    typed: Typed
    faults: tuple[str, ...] = ()
    told: tuple[str, str] | None = None
    roles: tuple[str, ...] = ROLES

    @property
    def rights(self) -> tuple[Right, ...]:
        """What can be done, and by whom."""
        return tuple(rights().values())


@router.get("/people")
def people(request: Request) -> Response:
    """Everybody in the firm."""
    return _page(request)


@router.post("/people")
def add(request: Request, typed: Form) -> Response:
    """Let somebody in, with a first password that is shown once."""
    password = first_password()
    owner = session_of(request).person
    try:
        made = door_of(request).people.add(firm=owner.firm_name, login=typed.get("login", ""),
                                           name=typed.get("name", ""), role=typed.get("role", ""), password=password,
                                           must_change=True)  # fmt: skip
    except CannotDo as wrong:
        return _page(request, typed, wrong.faults)
    return _page(request, told=(made.login, password))


@router.post("/people/{person}/role")
def set_role(request: Request, person: str, typed: Form) -> Response:
    """Give somebody another role."""
    return _done(request, lambda: door_of(request).people.set_role(_firm(request), person, typed.get("role", "")))


@router.post("/people/{person}/password")
def set_first_password(request: Request, person: str) -> Response:
    """Give somebody a new first password, and sign them out."""
    password, people = first_password(), door_of(request).people
    try:
        found = people.of_firm(_firm(request), person)
        people.set_password(found, password, must_change=True)
    except CannotDo as wrong:
        return _page(request, faults=wrong.faults)
    return _page(request, told=(found.login, password))


@router.post("/people/{person}/end")
def end(request: Request, person: str) -> Response:
    """Close somebody's account."""
    return _done(request, lambda: door_of(request).people.end(_firm(request), person))


def _done(request: Request, deed: Callable[[], None]) -> Response:
    try:
        deed()
    except CannotDo as wrong:
        return _page(request, faults=wrong.faults)
    return RedirectResponse("/people", status_code=303)


def _firm(request: Request) -> str:
    return session_of(request).person.firm


def _page(request: Request, typed: Typed | None = None, faults: tuple[str, ...] = (),
          told: tuple[str, str] | None = None) -> Response:  # fmt: skip
    owner = session_of(request).person
    people = door_of(request).people.everybody(owner.firm)
    return show(request, "people", PeoplePage(owner, people, typed or {}, faults, told), 422 if faults else 200)
