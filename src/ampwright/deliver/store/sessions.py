"""Who is signed in. A browser holds a random token; the store holds only its hash."""

from __future__ import annotations

import datetime
import hashlib
import secrets
from dataclasses import dataclass

import sqlalchemy as sql

from ampwright.deliver.store.clock import Clock, utc_now, written
from ampwright.deliver.store.people import PERSON, Person, shut_out
from ampwright.deliver.store.people_tables import persons, sessions

LASTS_DAYS_COUNT = 14


@dataclass(frozen=True, slots=True)
class Session:
    """One browser in which a person is signed in; `form_token` must come with each of its forms.

    Or a program that works for a person: `program` is the name of its token, and it has no forms.
    """

    hash: str
    form_token: str
    person: Person
    program: str = ""


class Sessions:
    """The sessions in a store. Each method is one transaction."""

    def __init__(self, engine: sql.Engine, clock: Clock = utc_now) -> None:
        self._engine = engine
        self._clock = clock

    def begin(self, person: Person) -> str:
        """Sign a person in; the token for their browser. What has expired is swept out."""
        token, now = secrets.token_urlsafe(32), self._clock()
        expires = now + datetime.timedelta(days=LASTS_DAYS_COUNT)
        with self._engine.connect().execution_options(writes=True) as link, link.begin():
            link.execute(sql.delete(sessions).where(sessions.c.expires <= written(now)))
            link.execute(sql.insert(sessions).values(hash=_hash(token), person=person.id, began=written(now),
                                                     form_token=secrets.token_urlsafe(32),
                                                     expires=written(expires)))  # fmt: skip
        return token

    def of(self, token: str) -> Session | None:
        """The session of a token, unless it has expired or was ended, or the account was closed."""
        wanted = PERSON.add_columns(sessions.c.form_token).join(sessions, sessions.c.person == persons.c.id)
        wanted = wanted.where(sessions.c.hash == _hash(token), sessions.c.expires > written(self._clock()),
                              persons.c.ended.is_(None))  # fmt: skip
        with self._engine.begin() as link:
            row = link.execute(wanted).mappings().one_or_none()
        if row is None:
            return None
        found = dict(row)
        return Session(_hash(token), found.pop("form_token"), Person(**found))

    def end(self, session: Session) -> None:
        """Sign out here."""
        with self._engine.connect().execution_options(writes=True) as link, link.begin():
            link.execute(sql.delete(sessions).where(sessions.c.hash == session.hash))

    def end_all(self, person: Person) -> None:
        """Sign out everywhere, programs too."""
        with self._engine.connect().execution_options(writes=True) as link, link.begin():
            shut_out(link, person.id, written(self._clock()))


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
