"""The people of each firm. What a firm's owner does here reaches nobody of another firm."""

from __future__ import annotations

import re
import secrets
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sql

from ampwright.deliver.store import passwords
from ampwright.deliver.store.clock import Clock, utc_now, written
from ampwright.deliver.store.people_tables import firms, persons, sessions, tokens

ROLES = ("owner", "designer", "installer", "reader")
LOGIN = re.compile(r"[a-z0-9][a-z0-9._@+-]{2,99}")


class CannotDo(ValueError):
    """Something about people that cannot be done; `faults` says everything that is wrong."""

    def __init__(self, *faults: str) -> None:
        super().__init__("; ".join(faults))
        self.faults = faults


@dataclass(frozen=True, slots=True)
class Person:
    """One person of one firm. `ended` is when their account was closed."""

    id: str
    firm: str
    firm_name: str
    login: str
    name: str
    role: str
    must_change: bool
    ended: str | None


PERSON = sql.select(
    persons.c.id, persons.c.firm, firms.c.name.label("firm_name"), persons.c.login, persons.c.name, persons.c.role,
    persons.c.must_change, persons.c.ended,
).join(firms, firms.c.id == persons.c.firm)  # fmt: skip


class People:
    """The accounts in a store. Each method is one transaction."""

    def __init__(self, engine: sql.Engine, clock: Clock = utc_now) -> None:
        self._engine = engine
        self._clock = clock

    def add(self, *, firm: str, login: str, name: str, role: str, password: str, must_change: bool = False) -> Person:
        """Make an account, and the firm of that name where there is none. Raises CannotDo with every fault."""
        login, name, firm = login.strip().lower(), name.strip(), firm.strip()
        faults = _faults(login, name, firm, role) + passwords.faults(password, login, name, firm)
        if faults:
            raise CannotDo(*faults)
        kept = passwords.hashed(password)
        with self._writing() as link, link.begin():
            if link.scalar(sql.select(persons.c.id).where(persons.c.login == login)):
                raise CannotDo(f"there is an account {login} already; choose another sign-in name")
            of = link.scalar(sql.select(firms.c.id).where(firms.c.name == firm))
            if of is None and role != "owner":
                raise CannotDo(f"there is no firm {firm} yet, and its first person is its owner")
            if of is None:
                of = secrets.token_hex(8)
                link.execute(sql.insert(firms).values(id=of, name=firm, created=self._now()))
            made = secrets.token_hex(8)
            link.execute(sql.insert(persons).values(id=made, firm=of, login=login, name=name, role=role, password=kept,
                                                    must_change=must_change, created=self._now()))  # fmt: skip
            return _person(link, made)

    def there_is_an_owner(self) -> bool:
        """Whether anybody could let others in."""
        with self._engine.begin() as link:
            owners = sql.select(persons.c.id).where(persons.c.role == "owner", persons.c.ended.is_(None))
            return link.scalar(owners.limit(1)) is not None

    def everybody(self, firm: str | None = None) -> tuple[Person, ...]:
        """The people of a firm, or of all firms, closed accounts among them."""
        wanted = PERSON if firm is None else PERSON.where(persons.c.firm == firm)
        with self._engine.begin() as link:
            rows = link.execute(wanted.order_by(firms.c.name, persons.c.ended.is_not(None), persons.c.login))
            return tuple(Person(**row._mapping) for row in rows)

    def firm_name(self, firm: str) -> str:
        """What a firm is called."""
        with self._engine.begin() as link:
            return str(link.scalar(sql.select(firms.c.name).where(firms.c.id == firm)) or "")

    def named(self, login: str) -> Person | None:
        """The person of a sign-in name."""
        return next((each for each in self.everybody() if each.login == login.strip().lower()), None)

    def who_is(self, login: str, password: str) -> Person | None:
        """The person that a sign-in name and a password belong to, or nobody, without saying why."""
        login = login.strip().lower()
        with self._engine.begin() as link:
            row = link.execute(sql.select(persons).where(persons.c.login == login)).one_or_none()
        if not passwords.is_right(row.password if row else None, password) or row is None or row.ended is not None:
            return None
        if passwords.is_weak_by_now(row.password):
            with self._writing() as link, link.begin():
                link.execute(_one(row.id).values(password=passwords.hashed(password)))
        with self._engine.begin() as link:
            return _person(link, row.id)

    def set_password(self, person: Person, password: str, *, must_change: bool = False) -> None:
        """Give a person a new password, and sign them and their programs out everywhere. Raises CannotDo."""
        faults = passwords.faults(password, person.login, person.name, person.firm_name)
        if faults:
            raise CannotDo(*faults)
        kept = passwords.hashed(password)
        with self._writing() as link, link.begin():
            link.execute(_one(person.id).values(password=kept, must_change=must_change))
            shut_out(link, person.id, self._now())

    def of_firm(self, firm: str, person: str) -> Person:
        """A person of this firm, by id. Raises CannotDo for anybody else."""
        found = next((each for each in self.everybody(firm) if each.id == person), None)
        if found is None:
            raise CannotDo("there is no such person in this firm")
        return found

    def set_role(self, firm: str, person: str, role: str) -> None:
        """Give a person of this firm another role. Raises CannotDo; the last owner stays one."""
        if role not in ROLES:
            raise CannotDo(f"there is no role {role[:20]!r}")
        self._alter(firm, person, role=role)

    def end(self, firm: str, person: str) -> None:
        """Close the account of a person of this firm and sign them out. Raises CannotDo; the last owner stays."""
        self._alter(firm, person, ended=self._now())

    def _alter(self, firm: str, person: str, **values: Any) -> None:
        with self._writing() as link, link.begin():
            there = sql.and_(persons.c.firm == firm, persons.c.ended.is_(None))
            role = link.scalar(sql.select(persons.c.role).where(there, persons.c.id == person))
            if role is None:
                raise CannotDo("there is no such person in this firm")
            owners = link.scalar(sql.select(sql.func.count()).where(there, persons.c.role == "owner"))
            if role == "owner" and values.get("role") != "owner" and owners == 1:
                raise CannotDo("this is the firm's only owner; make somebody else an owner first")
            link.execute(_one(person).values(**values))
            if "ended" in values:
                shut_out(link, person, values["ended"])

    def _writing(self) -> sql.Connection:
        return self._engine.connect().execution_options(writes=True)

    def _now(self) -> str:
        return written(self._clock())


def shut_out(link: sql.Connection, person: str, now: str) -> None:
    """Sign a person out in every browser, and end each token of their programs."""
    link.execute(sql.delete(sessions).where(sessions.c.person == person))
    link.execute(sql.update(tokens).where(tokens.c.person == person, tokens.c.ended.is_(None)).values(ended=now))


def _faults(login: str, name: str, firm: str, role: str) -> list[str]:
    found = []
    if not LOGIN.fullmatch(login):
        found.append("a sign-in name has 3 to 100 small letters, digits and . _ @ + -, as an e-mail address does")
    for what, text in (("the person's name", name), ("the firm's name", firm)):
        if not text or len(text) > 200 or not text.isprintable():
            found.append(f"{what} is missing, longer than 200 letters, or has signs that cannot be printed")
    if role not in ROLES:
        found.append(f"there is no role {role[:20]!r}; the roles are {', '.join(ROLES)}")
    return found


def _one(person: str) -> sql.Update:
    return sql.update(persons).where(persons.c.id == person)


def _person(link: sql.Connection, person: str) -> Person:
    return Person(**link.execute(PERSON.where(persons.c.id == person)).one()._mapping)
