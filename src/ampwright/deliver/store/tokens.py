"""Tokens with which a program signs in for a person. It holds the token; the store holds only its hash."""

from __future__ import annotations

import datetime
import hashlib
import secrets
from dataclasses import dataclass, replace

import sqlalchemy as sql

from ampwright.deliver.store.clock import Clock, utc_now, written
from ampwright.deliver.store.databases import writing
from ampwright.deliver.store.people import PERSON, ROLES, CannotDo, Person
from ampwright.deliver.store.people_tables import persons, tokens

PREFIX = "ampwright_"  # so that one that lies about in a file is known for what it is
LONGEST_DAYS_COUNT = 366  # our own choice, as the two below
LONGEST_NAME_COUNT = 100
MOST_COUNT = 20


@dataclass(frozen=True, slots=True)
class Token:
    """One token of a person: what it is for, the most it may do, from when until when, and whether it was ended."""

    id: str
    name: str
    role: str
    created: str
    expires: str
    ended: str | None


KEPT = sql.select(tokens.c.id, tokens.c.name, tokens.c.role, tokens.c.created, tokens.c.expires, tokens.c.ended)


class Tokens:
    """The tokens in a store. Each method is one transaction."""

    def __init__(self, engine: sql.Engine, clock: Clock = utc_now) -> None:
        self._engine = engine
        self._clock = clock

    def make(self, person: Person, *, name: str, role: str, days: int) -> tuple[Token, str]:
        """A token for so many days and its text, which is nowhere else. Raises CannotDo with every fault."""
        name, secret, now = name.strip(), PREFIX + secrets.token_urlsafe(32), self._clock().replace(microsecond=0)
        faults = _faults(person, name, role, days)
        with writing(self._engine, f"token {person.id}") as link:
            standing = tuple(link.scalars(sql.select(tokens.c.name).where(self._stands(person))))
            if name in standing:
                faults.append(f"there is a token {name} already; end that one first, or choose another name")
            if len(standing) >= MOST_COUNT:
                faults.append(f"{MOST_COUNT} tokens stand already; end one first")
            if faults:
                raise CannotDo(*faults)
            made = Token(secrets.token_hex(8), name, role, written(now),
                         written(now + datetime.timedelta(days=days)), None)  # fmt: skip
            link.execute(sql.insert(tokens).values(
                id=made.id, hash=_hash(secret), person=person.id, name=name, role=role, created=made.created,
                expires=made.expires))  # fmt: skip
        return made, secret

    def of(self, secret: str) -> tuple[Token, Person] | None:
        """The token of a text and whose it is, unless it ran out, was ended, or the account was closed.

        The person comes with the role that both allow: the token never lets do more than they may by now.
        """
        wanted = PERSON.add_columns(*(each.label(f"token_{each.name}") for each in KEPT.selected_columns))
        wanted = wanted.join(tokens, tokens.c.person == persons.c.id).where(
            tokens.c.hash == _hash(secret), tokens.c.expires > written(self._clock()), tokens.c.ended.is_(None),
            persons.c.ended.is_(None), persons.c.must_change.is_(False))  # fmt: skip
        with self._engine.begin() as link:
            row = link.execute(wanted).mappings().one_or_none()
        if row is None:
            return None
        token = Token(**{name[6:]: value for name, value in row.items() if name.startswith("token_")})
        person = Person(**{name: value for name, value in row.items() if not name.startswith("token_")})
        return token, replace(person, role=ROLES[max(ROLES.index(token.role), ROLES.index(person.role))])

    def standing(self, person: Person) -> tuple[Token, ...]:
        """The tokens of a person that let somebody in now, the newest first."""
        wanted = KEPT.where(self._stands(person)).order_by(tokens.c.created.desc(), tokens.c.name)
        with self._engine.begin() as link:
            return tuple(Token(**row) for row in link.execute(wanted).mappings())

    def end(self, person: Person, token: str) -> Token:
        """End a token of this person, by id or by name, for good. Raises CannotDo for any other."""
        with writing(self._engine, f"token {person.id}") as link:
            found = link.execute(KEPT.where(self._stands(person), sql.or_(tokens.c.id == token, tokens.c.name == token))
                                 .order_by(tokens.c.id != token)).mappings().first()  # fmt: skip
            if found is None:
                raise CannotDo("there is no such token, or it was ended before")
            now = written(self._clock())
            link.execute(sql.update(tokens).where(tokens.c.id == found["id"]).values(ended=now))
        return Token(**{**found, "ended": now})

    def _stands(self, person: Person) -> sql.ColumnElement[bool]:
        return sql.and_(tokens.c.person == person.id, tokens.c.ended.is_(None),
                        tokens.c.expires > written(self._clock()))  # fmt: skip


def _faults(person: Person, name: str, role: str, days: int) -> list[str]:
    found = []
    if person.must_change:
        found.append("choose a password of your own first")
    if not name or len(name) > LONGEST_NAME_COUNT or not name.isprintable():
        found.append(f"say what the token is for, in at most {LONGEST_NAME_COUNT} letters that can be printed")
    if role not in ROLES:
        found.append(f"there is no role {role[:20]!r}; the roles are {', '.join(ROLES)}")
    elif ROLES.index(role) < ROLES.index(person.role):
        found.append(f"a program may not do more than who it works for: {person.name} is {person.role}")
    if not 1 <= days <= LONGEST_DAYS_COUNT:
        found.append(f"a token stands for 1 to {LONGEST_DAYS_COUNT} days")
    return found


def _hash(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
