"""A server of jobs as the commands see it: what it holds, what it is sent, and in plain words what goes wrong."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

if TYPE_CHECKING:
    import httpx

    from ampwright.job.record import Job

ID = re.compile(r"[0-9a-f]{16}")
CONNECT_S, ANSWER_S = 5.0, 30.0
THIS_MACHINE = ("localhost", "127.0.0.1", "::1")
PROBLEM = "application/problem+json"
WANTS_TOKEN = 401
TOKEN = re.compile(r"ampwright_[0-9A-Za-z_-]{20,100}")
OUTCOME = ("job", "head", "taken", "held")


class ServerSays(Exception):
    """What could not be done at a server, and why; as text all of it. `status` is None where there was no answer."""

    def __init__(self, says: str, *more: str, status: int | None = None) -> None:
        self.status = status
        super().__init__("\n".join([says, *(f"  {each}" for each in more)]))


@dataclass(slots=True)
class Key:
    """The token that a server is shown, where it wants one; `ask` asks a person for it. It is never printed."""

    token: str = field(default="", repr=False)
    ask: Callable[[], str] | None = None

    def asked_for(self) -> bool:
        """Ask for the token, if there is none yet and somebody is there to be asked; whether there is one now."""
        if self.token or self.ask is None:
            return False
        self.token = self.ask().strip()
        return bool(self.token)


@dataclass(frozen=True, slots=True)
class Server:
    """A server by its address, without a slash at the end. Every method raises ServerSays."""

    address: str
    key: Key = field(default_factory=Key, repr=False, compare=False)

    @classmethod
    def at(cls, text: str, key: Key | None = None) -> Server:
        """The server at an address as somebody types it."""
        try:
            found = urlsplit(text.strip())
            right = found.scheme in ("http", "https") and bool(found.hostname) and found.port != 0
        except ValueError:
            right = False
        if not right or found.path not in ("", "/") or found.query or found.fragment or found.username:
            raise ServerSays(f"{text} is not the address of a server; write it as http://localhost:8722")
        return cls(f"{found.scheme}://{found.netloc}", key or Key())

    @property
    def in_the_clear(self) -> bool:
        """Whether what is sent there can be read on its way: by plain http, to another machine than this."""
        found = urlsplit(self.address)
        return found.scheme == "http" and found.hostname not in THIS_MACHINE

    def jobs(self) -> list[dict[str, Any]]:
        """Every job in its list."""
        listed: list[dict[str, Any]] = []
        after = ""
        while True:
            page = self._asked("GET", f"jobs?limit=100{f'&after={after}' if after else ''}", ("jobs", "next"))
            listed += page["jobs"]
            if not page["next"]:
                return listed
            after = page["next"]

    def read(self, job: str, at: int | None = None) -> tuple[Job, int]:
        """A job as it stands, or stood after a change, and its newest change then."""
        from ampwright.job.files import BadJobFile, built

        found = self._asked("GET", f"jobs/{job}{'' if at is None else f'?at={at}'}", ("record", "head"))
        try:
            return built(found["record"]), int(found["head"])
        except BadJobFile as bad:
            says = f"the job at {self.address} cannot be read here; bring Ampwright up to date"
            raise ServerSays(says, *map(str, bad.faults)) from bad

    def figures(self, kinds: Collection[str]) -> dict[str, str]:
        """The texts of the figures of these kinds that the firm has of its own."""
        listed = self._asked("GET", "figures", ("figures",))["figures"]
        wanted = [each["kind"] for each in listed if each["own"] and each["kind"] in kinds]
        return {each: self._asked("GET", f"figures/{each}", ("csv",))["csv"] for each in wanted}

    def begin(self, record: dict[str, Any], operation: str) -> dict[str, Any]:
        """Begin a job with a record."""
        return self._asked("POST", "jobs", OUTCOME, {"operation": operation, "record": record})

    def change(self, job: str, changes: dict[str, Any], base: int, operation: str) -> dict[str, Any]:
        """Send changes that were made to a job as it stood after `base`."""
        body = {"operation": operation, "base": base, "changes": changes}
        return self._asked("POST", f"jobs/{job}/changes", OUTCOME, body)

    def _asked(self, method: str, path: str, wanted: tuple[str, ...],
               body: dict[str, Any] | None = None) -> dict[str, Any]:  # fmt: skip
        import httpx

        host = urlsplit(self.address).hostname
        try:
            with httpx.Client(timeout=httpx.Timeout(ANSWER_S, connect=CONNECT_S),
                              trust_env=host not in THIS_MACHINE) as client:  # fmt: skip
                answer = client.request(method, f"{self.address}/api/v1/{path}", json=body, headers=self._shown())
                if answer.status_code == WANTS_TOKEN and self.key.asked_for():
                    answer = client.request(method, f"{self.address}/api/v1/{path}", json=body, headers=self._shown())
            return self._taken(answer, wanted)
        except httpx.TimeoutException as wrong:
            says = f"{self.address} did not answer in time"
            raise ServerSays(says, "give the same command again; what was taken already is not taken twice") from wrong
        except httpx.HTTPError as wrong:
            if "CERTIFICATE" in str(wrong).upper():
                raise ServerSays(f"the certificate of {self.address} is not known here",
                                 "name the file of its authority with SSL_CERT_FILE") from wrong  # fmt: skip
            raise ServerSays(f"nothing answers at {self.address}",
                             "is `ampwright serve` running there, and is the address right?") from wrong  # fmt: skip

    def _shown(self) -> dict[str, str]:
        """The header with the token. What cannot stand in one is no token."""
        if not self.key.token:
            return {}
        if not TOKEN.fullmatch(self.key.token):
            raise ServerSays("what was given is no token of an Ampwright", "a token begins with ampwright_; make one "
                             "on the page of your account")  # fmt: skip
        return {"Authorization": f"Bearer {self.key.token}"}

    def _taken(self, answer: httpx.Response, wanted: tuple[str, ...]) -> dict[str, Any]:
        """The document of an answer, if it is one that holds what is wanted."""
        kind, status = answer.headers.get("content-type", "").partition(";")[0], answer.status_code
        if status == WANTS_TOKEN:
            says = (f"{self.address} does not take this token: it has run out, was ended, or is of another server"
                    if self.key.token else f"{self.address} wants a token")
            raise ServerSays(says, "make one there, on the page of your account, and put it into AMPWRIGHT_TOKEN",
                             status=status)  # fmt: skip
        try:
            found = answer.json() if kind in ("application/json", PROBLEM) else None
        except ValueError:
            found = None
        if answer.is_success and isinstance(found, dict) and all(name in found for name in wanted):
            return found
        if kind == PROBLEM and isinstance(found, dict):
            faults = [": ".join(part for part in (each.get("path"), each.get("says")) if part)
                      for each in found.get("faults", ())]  # fmt: skip
            says = f"{self.address}: {found.get('title', 'this cannot be done')}"
            raise ServerSays(says, *(faults or [found.get("detail", "")]), status=status)
        raise ServerSays(f"what answers at {self.address} is no Ampwright that this one can talk to", status=status)
