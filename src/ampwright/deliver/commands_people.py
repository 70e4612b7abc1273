"""The commands about the people who may sign in. A password is asked for on the terminal, never on the command line."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

import click

from ampwright.deliver.commands_store import JOBS, opened

if TYPE_CHECKING:
    from ampwright.deliver.store.people import People, Person
    from ampwright.deliver.store.shape import Place
    from ampwright.deliver.store.tokens import Tokens

T = TypeVar("T")


@click.group()
def people() -> None:
    """Who may sign in, once `ampwright serve --listen` lets others than this machine in."""


@people.command()
@click.argument("login")
@JOBS
@click.option("--firm", required=True, help="The firm; made where there is none of that name, and this is its owner.")
@click.option("--name", default="", help="The name beside what they enter; the sign-in name without it.")
@click.option("--role", default="owner", show_default=True, help="owner, designer, installer or reader.")
def add(login: str, place: Place, firm: str, name: str, role: str) -> None:
    """Make an account that signs in as LOGIN, such as an e-mail address. The password is asked for twice."""
    password = _asked()
    _done(lambda: _people(place).add(firm=firm, login=login, name=name or login, role=role, password=password))
    click.echo(f"{login.strip().lower()} may sign in as {role} of {firm}")


@people.command(name="list")
@JOBS
def list_people(place: Place) -> None:
    """List the people of every firm, and the tokens of their programs."""
    from ampwright.deliver.store.clock import clock

    found, tokens = _people(place).everybody(), _tokens(place)
    for each in found:
        closed = ", closed" if each.ended else ""
        click.echo(f"{each.firm_name}: {each.login}, {each.name}, {each.role}{closed}")
        for token in tokens.standing(each):
            click.echo(f"    token {token.name}: {token.role}, until {clock(token.expires)}")
    if not found:
        click.echo("Nobody yet.")


@people.command()
@click.argument("login")
@JOBS
def password(login: str, place: Place) -> None:
    """Give LOGIN a new password, asked for twice, and sign them out everywhere."""
    kept = _people(place)
    found = _found(kept, login)
    new = _asked()
    _done(lambda: kept.set_password(found, new))
    click.echo(f"{found.login} has the new password")


@people.command()
@click.argument("login")
@JOBS
def close(login: str, place: Place) -> None:
    """Close the account of LOGIN and sign them out everywhere. What they entered stays."""
    kept = _people(place)
    found = _found(kept, login)
    _done(lambda: kept.end(found.firm, found.id))
    click.echo(f"{found.login} cannot sign in any more")


@people.command()
@click.argument("login")
@click.argument("name")
@JOBS
@click.option("--role", default="reader", show_default=True, help="The most that it may do; no more than LOGIN may.")
@click.option("--days", type=int, default=31, show_default=True, help="How long it stands.")
def token(login: str, name: str, place: Place, role: str, days: int) -> None:
    """Make a token with which a program called NAME signs in for LOGIN. It is printed this once and kept nowhere.

    A command of Ampwright takes it from AMPWRIGHT_TOKEN, or asks for it; it never stands on a command line.
    """
    found = _found(_people(place), login)
    _, secret = _done(lambda: _tokens(place).make(found, name=name, role=role, days=days))
    click.echo(secret)


@people.command()
@click.argument("login")
@click.argument("name")
@JOBS
def end_token(login: str, name: str, place: Place) -> None:
    """End the token NAME of LOGIN, as `ampwright people list` lists it."""
    found = _found(_people(place), login)
    _done(lambda: _tokens(place).end(found, name))
    click.echo(f"the token {name} of {found.login} lets nobody in any more")


def _people(place: Place) -> People:
    from ampwright.deliver.store.people import People

    return People(opened(place).engine)


def _tokens(place: Place) -> Tokens:
    from ampwright.deliver.store.tokens import Tokens

    return Tokens(opened(place).engine)


def _found(kept: People, login: str) -> Person:
    found = kept.named(login)
    if found is None:
        raise click.UsageError(f"There is no account {login}; `ampwright people list` lists them.")
    return found


def _asked() -> str:
    answer: str = click.prompt("Password", hide_input=True, confirmation_prompt="The same again")
    return answer


def _done(deed: Callable[[], T]) -> T:
    from ampwright.deliver.store.people import CannotDo

    try:
        return deed()
    except CannotDo as wrong:
        raise click.UsageError("\n".join(wrong.faults)) from wrong
