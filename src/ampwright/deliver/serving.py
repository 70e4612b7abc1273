"""The server for others than this machine: who may ask for it, by which names it goes, and by https."""

from __future__ import annotations

import ipaddress
import re
import socket
import sys
import threading
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from ampwright.deliver.certificates import Authority, Certified
    from ampwright.deliver.store.shape import Place
    from ampwright.deliver.store.store import Store

LINGERS_S = 2
THIS_MACHINE = ("127.0.0.1", "localhost", "::1")
ANYWHERE = ("0.0.0.0", "::")
NAME = re.compile(r"(?!-)[a-z0-9-]{1,63}(\.[a-z0-9-]{1,63})*")
NO_OWNER = ("Whoever reaches {host} could read and change every job, so there must be people who sign in, and there is "
            "no owner yet. Make one first: ampwright people add NAME --firm FIRM")  # fmt: skip
IN_THE_CLEAR = ("By plain http everybody on the same network can read passwords and jobs. Add --tls; or --plain where "
                "the network is yours alone.")  # fmt: skip
TRUST = ("What a phone agrees to: it will believe every certificate that this authority signs. Whoever gets the "
         "folder {folder} could pass for this machine before that phone; keep it like the van keys.")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Listening:
    """Where to answer, and how."""

    host: str
    tls: bool = False
    plain: bool = False
    names: tuple[str, ...] = field(default=())

    @property
    def elsewhere(self) -> bool:
        """Whether others than this machine can reach it."""
        return self.host not in THIS_MACHINE

    @property
    def scheme(self) -> str:
        """The first word of its addresses."""
        return "https" if self.tls else "http"


def checked(listening: Listening, there_are_jobs: bool) -> None:
    """What can be known before the store is opened. Raises UsageError."""
    if listening.elsewhere and not listening.tls and not listening.plain:
        raise click.UsageError(IN_THE_CLEAR)
    wrong = [each for each in listening.names if not NAME.fullmatch(each) and _address(each) is None]
    if wrong:
        raise click.UsageError(f"{', '.join(wrong)}: no name or address of a machine; a name is like jobs.example.org")
    if listening.elsewhere and not there_are_jobs:
        raise click.UsageError(NO_OWNER.format(host=listening.host))


def owned(listening: Listening, store: Store) -> None:
    """Whether somebody can sign in where somebody must. Raises UsageError."""
    from ampwright.deliver.store.people import People

    if listening.elsewhere and not People(store.engine).there_is_an_owner():
        raise click.UsageError(NO_OWNER.format(host=listening.host))


def names_of(listening: Listening) -> tuple[str, ...]:
    """Every name and address by which the machine can be asked for, the one to show first."""
    found = [*listening.names]
    if listening.host in ANYWHERE:
        found += own_addresses()
    elif listening.elsewhere:
        found.append(listening.host.lower())
    if listening.elsewhere:
        machine = socket.gethostname().lower()
        found += [each for each in (machine, f"{machine.split('.')[0]}.local") if NAME.fullmatch(each)]
    return tuple(dict.fromkeys((*found, "localhost", "127.0.0.1", "::1")))


def own_addresses() -> list[str]:
    """The addresses of this machine on its networks, the one of the way out first. Nothing is sent."""
    found = []
    for family, far in ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1")):
        with socket.socket(family, socket.SOCK_DGRAM) as asked:
            try:
                asked.connect((far, 9))
                found.append(asked.getsockname()[0])
            except OSError:  # this kind of network is not there
                continue
    try:
        listed = socket.getaddrinfo(socket.gethostname(), None)
    except socket.gaierror:  # the machine's own name is not known on its network
        listed = []
    found += [str(each[4][0]).split("%")[0] for each in listed]
    return [each for each in dict.fromkeys(found) if not ipaddress.ip_address(each).is_loopback]


def bracketed(name: str) -> str:
    """A name or address as it stands in an address of a page."""
    return f"[{name}]" if ":" in name else name


def opened_at(host: str, port: int) -> socket.socket:
    """A socket that listens. Raises UsageError."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        return socket.create_server((host, port), family=family, dualstack_ipv6=host == "::")
    except OSError as wrong:
        says = f"Port {port} is taken, perhaps by Ampwright in another window; give another with --port."
        if wrong.errno not in (98, 48, 10048):
            says = f"This machine cannot answer at {host}, port {port}: {wrong.strerror}."
        raise click.UsageError(says) from wrong


def run(place: Place, who: str, listening: Listening, port: int) -> None:
    """Answer until Ctrl-C. Raises UsageError where that cannot be begun."""
    import uvicorn

    from ampwright.deliver.web.app import Others, create_app

    names = names_of(listening)
    shown = bracketed(names[0] if listening.elsewhere else listening.host)
    certified = _certified(place, names) if listening.tls else None
    door = opened_at(listening.host, port)
    port = door.getsockname()[1]
    jobs_at = f"{listening.scheme}://{shown}:{port}"
    authority, settings = None, dict[str, Any]()
    if certified is not None:
        steps = opened_at(listening.host, 0 if port > 65534 else port + 1) if listening.elsewhere else None
        steps_at = f"http://{shown}:{steps.getsockname()[1]}/phone" if steps else f"{jobs_at}/phone"
        authority, settings = _authority(certified, steps_at, jobs_at)
        if steps is not None:
            _serve_steps(steps, names, authority)
    others = Others(listening.tls, tuple(map(bracketed, names))) if listening.elsewhere else None
    click.echo(f"The jobs are at {jobs_at} (Ctrl-C ends it)")
    if authority is not None:
        _say_steps(authority, _folder(place))
    app = create_app(place, who, others, authority)
    uvicorn.Server(uvicorn.Config(app, log_level="warning", server_header=False, proxy_headers=False,
                                  timeout_graceful_shutdown=LINGERS_S, **settings)).run([door])  # fmt: skip


def _certified(place: Place, names: tuple[str, ...]) -> Certified:
    from ampwright.deliver.certificates import CannotCertify, certified

    try:
        return certified(_folder(place), names)
    except CannotCertify as wrong:
        raise click.UsageError(str(wrong)) from wrong


def _authority(certified: Certified, steps_at: str, jobs_at: str) -> tuple[Authority, dict[str, Any]]:
    from ampwright.deliver.certificates import Authority

    return Authority.of(certified, steps_at, jobs_at), {"ssl_certfile": str(certified.server_certificate),
                                                        "ssl_keyfile": str(certified.server_key)}  # fmt: skip


def _serve_steps(door: socket.socket, names: tuple[str, ...], authority: Authority) -> None:
    """The steps alone by plain http, for a phone that does not trust the server yet."""
    import uvicorn

    from ampwright.deliver.web.steps import create_steps

    app = create_steps(tuple(map(bracketed, names)), authority)
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning", server_header=False, proxy_headers=False))
    threading.Thread(target=server.run, args=([door],), daemon=True).start()


def _say_steps(authority: Authority, folder: Path) -> None:
    import segno

    click.echo(f"For a phone to trust it: {authority.steps_address}")
    if sys.stdout.isatty():
        segno.make(authority.steps_address).terminal(compact=True)
    click.echo(f"The fingerprint to compare there (SHA-256): {authority.fingerprint}")
    click.echo(TRUST.format(folder=folder))


def _folder(place: Place) -> Path:
    """Beside the file of the jobs; where those are behind an address, in the folder that it is served from."""
    return place.with_suffix(".tls") if isinstance(place, Path) else Path("ampwright.tls")


def _address(name: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        return ipaddress.ip_address(name)
    except ValueError:
        return None
