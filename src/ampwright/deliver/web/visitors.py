"""The one door: who asks, whether they may, and whether a form is from our own page. Every route passes through it."""

from __future__ import annotations

import dataclasses
import hmac
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import TypeVar
from urllib.parse import quote

from fastapi import Request, Response
from fastapi.responses import PlainTextResponse, RedirectResponse
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile

from ampwright.deliver.store.firms import FirmStore
from ampwright.deliver.store.people import People
from ampwright.deliver.store.sessions import LASTS_DAYS_COUNT, Session, Sessions
from ampwright.deliver.store.sharing import Shares
from ampwright.deliver.store.store import NoSuchJob, Store
from ampwright.deliver.store.tokens import Tokens
from ampwright.deliver.web.api import problems
from ampwright.deliver.web.limits import Limits, address_key
from ampwright.deliver.web.rights import ANYONE, OWN, asked_for, may

ONLY_WITH_ACCOUNTS = ("own", "people", "share")
FORM_TOKEN, FORM_HEADER = "form-token", "x-form-token"
FORM_KINDS = ("application/x-www-form-urlencoded", "multipart/form-data")
FORM_SIZE = {"max_fields": 3000, "max_files": 40}
THIS_MACHINE = "this-machine"
PROGRAM_HERE = "a program on this machine"
S = TypeVar("S")
_HERE: ContextVar[Session | None] = ContextVar("session", default=None)


@dataclass(frozen=True)
class Door:
    """What a server that others can reach asks of them. `secure` is whether it answers by https."""

    store: Store
    secure: bool
    limits: Limits = field(default_factory=Limits)
    people: People = field(init=False)
    sessions: Sessions = field(init=False)
    tokens: Tokens = field(init=False)
    shares: Shares = field(init=False)

    def __post_init__(self) -> None:
        for name, kind in (("people", People), ("sessions", Sessions), ("tokens", Tokens), ("shares", Shares)):
            object.__setattr__(self, name, kind(self.store.engine))

    @property
    def cookie(self) -> str:
        """The name of the cookie; by https one that no other name or address can set for us."""
        return "__Host-ampwright" if self.secure else "ampwright"

    def remember(self, response: Response, token: str) -> None:
        """Give a browser its token."""
        response.set_cookie(self.cookie, token, max_age=LASTS_DAYS_COUNT * 86400, path="/", httponly=True,
                            secure=self.secure, samesite="lax")  # fmt: skip

    def forget(self, response: Response) -> None:
        """Take the token out of a browser."""
        response.delete_cookie(self.cookie, path="/", httponly=True, secure=self.secure, samesite="lax")


class Refused(Exception):
    """Somebody may not do this; as a page it says why."""

    def __init__(self, status: int, title: str, says: str) -> None:
        super().__init__(says)
        self.status, self.title, self.says = status, title, says


class GoTo(Exception):
    """Something else comes first, at another page."""

    def __init__(self, address: str) -> None:
        super().__init__(address)
        self.address = address


async def admitted(request: Request) -> None:
    """Let in who may come in. Raises Refused, GoTo, NoSuchJob."""
    door: Door | None = request.app.state.door
    path = request.scope["route"].path
    right = asked_for(request.method, path)
    if door is None:
        if right in ONLY_WITH_ACCOUNTS or path == "/sign-in":
            raise Refused(404, "There are no accounts here",
                          "This machine alone is answered, without a password. `ampwright people add` makes an "
                          "account, and `ampwright serve --listen` lets others in.")  # fmt: skip
        return
    _HERE.set(None)
    if problems.of_api(request):
        await _program_admitted(request, door, right)
        return
    session = await run_in_threadpool(door.sessions.of, request.cookies.get(door.cookie, ""))
    request.state.session = session
    _HERE.set(session)
    reads = request.method in ("GET", "HEAD")
    if right == ANYONE:
        if not reads and "origin" not in request.headers:
            raise Refused(403, "That cannot be taken", "The form did not say which page it came from.")
        return
    if session is None:
        if reads:
            raise GoTo(f"/sign-in?next={quote(request.url.path, safe='')}")
        raise Refused(401, "You are signed out", "Nothing was saved yet. Sign in from another tab, come back to this "
                      "one, go one page back and send it again.")  # fmt: skip
    if session.person.must_change and right != OWN:
        raise GoTo("/me")
    if right is None or not may(session.person.role, right):
        raise Refused(403, "That is not yours to do", f"You are signed in as {session.person.name}, "
                      f"{session.person.role}. Ask an owner of {session.person.firm_name}.")  # fmt: skip
    if not reads:
        await _from_our_page(request, session)


async def _program_admitted(request: Request, door: Door, right: str | None) -> None:
    """Let in a program that brings a token in its header. What a browser sends unasked, a cookie, is not looked at."""
    request.state.session = None
    if right == ANYONE:
        return
    kind, _, secret = request.headers.get("authorization", "").partition(" ")
    if kind.lower() != "bearer" or not secret.strip():
        raise _not_let_in("no-token", "no token came; send Authorization: Bearer and the token")
    found = await run_in_threadpool(door.tokens.of, secret.strip())
    if found is None:
        raise _not_let_in("no-token", "this token is not known here, has run out, or was ended", "invalid_token")
    token, person = found
    if right is None or not may(person.role, right):
        raise _not_let_in("not-yours", f"the token {token.name} is of a {person.role}; an owner of "
                          f"{person.firm_name} may give more", "insufficient_scope")  # fmt: skip
    request.state.session = Session("", "", person, token.name)


def _not_let_in(kind: str, says: str, error: str = "") -> problems.Refused:
    """A refusal with the header that RFC 6750 wants beside it."""
    how = 'Bearer realm="Ampwright"' + (f', error="{error}"' if error else "")
    return problems.Refused(kind, says, headers={"WWW-Authenticate": how})


async def _from_our_page(request: Request, session: Session) -> None:
    brought: str | UploadFile | None = request.headers.get(FORM_HEADER)
    if brought is None and request.headers.get("content-type", "").split(";")[0].strip().lower() in FORM_KINDS:
        brought = (await request.form(**FORM_SIZE)).get(FORM_TOKEN)
    if not isinstance(brought, str) or not hmac.compare_digest(brought.encode(), session.form_token.encode()):
        raise Refused(403, "This form is from before you signed in", "Nothing was saved. Go one page back, load that "
                      "page again, and send it from there.")  # fmt: skip


def door_of(request: Request) -> Door:
    """The door of a server with accounts; `admitted` let nobody past here without one."""
    door: Door | None = request.app.state.door
    if door is None:
        raise NoSuchJob("there are no accounts")
    return door


def session_of(request: Request) -> Session:
    """Who asks, on a page that somebody must be signed in for."""
    session: Session | None = request.state.session
    if session is None:
        raise GoTo("/sign-in")
    return session


def seen_by(request: Request, site: S) -> S:
    """What the pages stand on, as who asks may see it: the jobs of their firm, under their own name."""
    door: Door | None = request.app.state.door
    if door is None:
        return dataclasses.replace(site, origin=PROGRAM_HERE) if problems.of_api(request) else site  # type: ignore[type-var]
    session = session_of(request)
    by = f"the program {session.program}" if session.program else "a page"
    values = {"store": FirmStore(door.store, session.person.firm, session.person), "who": session.person.name}
    return dataclasses.replace(site, origin=f"{by} at {address(request)}", **values)  # type: ignore[type-var]


def address(request: Request) -> str:
    """Where somebody asks from."""
    return address_key(request.client.host if request.client else "nowhere")


def here() -> Session | None:
    """Who the page that is being written is for, if they are signed in."""
    return _HERE.get()


def holder(request: Request) -> str:
    """Whose what a browser keeps of a page is: a person's, or this machine's; nobody's before they have signed in."""
    session = _HERE.get()
    if session is not None:
        return session.person.id
    return "" if request.app.state.door else THIS_MACHINE


def here_may(right: str) -> bool:
    """Whether who the page is for may do this; on this machine alone, what needs no accounts."""
    session = _HERE.get()
    if session is None:
        return right not in ONLY_WITH_ACCOUNTS
    return may(session.person.role, right)


def too_often(request: Request) -> Response | None:
    """What somebody who asks too often is told."""
    limits: Limits | None = request.app.state.limits
    wait_s = limits.asked.take(address(request)) if limits else 0
    if not wait_s:
        return None
    if problems.of_api(request):
        return problems.problem("too-often", headers={"Retry-After": str(wait_s)})
    says = f"Too many pages were asked for from your address. Nothing was saved; try again in {wait_s} s."
    return PlainTextResponse(says, 429, {"Retry-After": str(wait_s)})


def sent_on(request: Request, wrong: Exception) -> Response:
    """The answer to GoTo."""
    assert isinstance(wrong, GoTo)
    return RedirectResponse(wrong.address, status_code=303)
