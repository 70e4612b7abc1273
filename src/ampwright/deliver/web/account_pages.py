"""Signing in and out, one's own password, and the tokens of one's own programs."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from ampwright.deliver.store.passwords import LEAST_LETTERS_COUNT
from ampwright.deliver.store.people import ROLES, CannotDo, Person
from ampwright.deliver.store.tokens import Token
from ampwright.deliver.web.look import show
from ampwright.deliver.web.rights import Right, rights
from ampwright.deliver.web.site import Form, Typed
from ampwright.deliver.web.visitors import address, door_of, session_of

DAYS = ((7, "a week"), (31, "a month"), (92, "three months"), (366, "a year"))
WRONG = "the sign-in name and the password do not belong together, or the account was closed"
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class SignInPage:
    """The form, and why nobody was signed in."""

    next: str
    login: str = ""
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MyPage:
    """One's own account. `told` is a token that was made and its text, shown this once."""

    person: Person
    tokens: tuple[Token, ...]
    faults: tuple[str, ...] = ()
    token_faults: tuple[str, ...] = ()
    typed: Typed = field(default_factory=dict)
    told: tuple[Token, str] | None = None
    least_count: int = LEAST_LETTERS_COUNT
    days: tuple[tuple[int, str], ...] = DAYS

    @property
    def rights(self) -> tuple[Right, ...]:
        """What the person may do."""
        return tuple(each for each in rights().values() if self.person.role in each.roles)

    @property
    def roles(self) -> tuple[str, ...]:
        """What a program of this person may be, the least first."""
        return ROLES[ROLES.index(self.person.role):][::-1]


@router.get("/sign-in")
def sign_in_page(request: Request, next: str = "/") -> Response:
    """The form to sign in with."""
    return show(request, "sign_in", SignInPage(_local(next)))


@router.post("/sign-in")
def sign_in(request: Request, typed: Form) -> Response:
    """Sign in. Every reason why not has the same answer."""
    door = door_of(request)
    login, goes_to = typed.get("login", "").strip().lower()[:100], _local(typed.get("next", "/"))
    came_from = address(request)
    wait_s = door.limits.sign_in_from.take(came_from) or door.limits.sign_in_as.take(login)
    if wait_s:
        says = f"too many tries; try again in {-(-wait_s // 60)} min, or ask an owner for a new first password"
        answer = show(request, "sign_in", SignInPage(goes_to, login, (says,)), 429)
        answer.headers["Retry-After"] = str(wait_s)
        return answer
    person = door.people.who_is(login, typed.get("password", ""))
    if person is None:
        return show(request, "sign_in", SignInPage(goes_to, login, (WRONG,)), 401)
    door.limits.sign_in_from.give_back(came_from)
    door.limits.sign_in_as.give_back(login)
    if request.state.session is not None:
        door.sessions.end(request.state.session)
    response = RedirectResponse("/me" if person.must_change else goes_to, status_code=303)
    door.remember(response, door.sessions.begin(person))
    return response


@router.post("/sign-out")
def sign_out(request: Request) -> Response:
    """Sign out in this browser."""
    door_of(request).sessions.end(session_of(request))
    return _signed_out(request)


@router.post("/me/sign-out-everywhere")
def sign_out_everywhere(request: Request) -> Response:
    """Sign out in every browser."""
    door_of(request).sessions.end_all(session_of(request).person)
    return _signed_out(request)


@router.get("/me")
def me(request: Request) -> Response:
    """One's own account."""
    return _my_page(request)


@router.post("/me/password")
def new_password(request: Request, typed: Form) -> Response:
    """Change one's own password; every other browser is signed out."""
    door, person = door_of(request), session_of(request).person
    wait_s = door.limits.sign_in_as.take(person.login)
    faults = _new_faults(typed)
    if wait_s:
        faults = [f"too many tries; try again in {-(-wait_s // 60)} min"]
    elif door.people.who_is(person.login, typed.get("password", "")) is None:
        faults = ["the password that you have now is another one", *faults]
    else:
        door.limits.sign_in_as.give_back(person.login)
    try:
        if faults:
            raise CannotDo(*faults)
        door.people.set_password(person, typed["new"])
    except CannotDo as wrong:
        return _my_page(request, 422, faults=wrong.faults)
    response = RedirectResponse("/", status_code=303)
    door.remember(response, door.sessions.begin(person))
    return response


@router.post("/me/tokens")
def new_token(request: Request, typed: Form) -> Response:
    """Make a token for a program, which is shown once."""
    days = typed.get("days", "")
    try:
        told = door_of(request).tokens.make(session_of(request).person, name=typed.get("name", ""),
                                            role=typed.get("role", ""),
                                            days=int(days) if re.fullmatch(r"[0-9]{1,4}", days) else 0)  # fmt: skip
    except CannotDo as wrong:
        return _my_page(request, 422, token_faults=wrong.faults, typed=typed)
    return _my_page(request, told=told)


@router.post("/me/tokens/{token}/end")
def end_token(request: Request, token: str) -> Response:
    """End a token of one's own."""
    try:
        door_of(request).tokens.end(session_of(request).person, token)
    except CannotDo as wrong:
        return _my_page(request, 422, token_faults=wrong.faults)
    return RedirectResponse("/me", status_code=303)


def _my_page(request: Request, status: int = 200, **more: Any) -> Response:
    person = session_of(request).person
    return show(request, "me", MyPage(person, door_of(request).tokens.standing(person), **more), status)


def _new_faults(typed: Form) -> list[str]:
    faults = []
    if typed.get("new", "") != typed.get("again", ""):
        faults.append("the new password was not typed the same twice")
    if typed.get("new", "") == typed.get("password", ""):
        faults.append("the new password is the old one")
    return faults


def _signed_out(request: Request) -> Response:
    response = RedirectResponse("/sign-in", status_code=303)
    door_of(request).forget(response)
    return response


def _local(address: str) -> str:
    """A page of ours to go to, or the list of jobs where it is anything else."""
    ours = address.startswith("/") and not address.startswith(("//", "/\\")) and address.isprintable()
    return address if ours and "\\" not in address else "/"
