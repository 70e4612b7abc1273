"""The commands about the people who may sign in. A password is asked for on the terminal, never on the command line."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import click

from ampwright.deliver.commands_store import JOBS, opened

if TYPE_CHECKING:
    from ampwright.deliver.store.people import People, Person
    from ampwright.deliver.store.shape import Place


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
    """List the people of every firm."""
    found = _people(place).everybody()
    for each in found:
        closed = ", closed" if each.ended else ""
        click.echo(f"{each.firm_name}: {each.login}, {each.name}, {each.role}{closed}")
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


def _people(place: Place) -> People:
    from ampwright.deliver.store.people import People

    return People(opened(place).engine)


def _found(kept: People, login: str) -> Person:
    found = kept.named(login)
    if found is None:
        raise click.UsageError(f"There is no account {login}; `ampwright people list` lists them.")
    return found


def _asked() -> str:
    answer: str = click.prompt("Password", hide_input=True, confirmation_prompt="The same again")
    return answer


def _done(deed: Callable[[], object]) -> None:
    from ampwright.deliver.store.people import CannotDo

    try:
        deed()
    except CannotDo as wrong:
        raise click.UsageError("\n".join(wrong.faults)) from wrong
