"""Links by which a customer sees one job, until they run out or are ended. A link is signed, so none can be made up."""

from __future__ import annotations

import datetime
import hashlib
import hmac
import re
import secrets
from dataclasses import dataclass

import sqlalchemy as sql

from ampwright.deliver.store.clock import Clock, utc_now, written
from ampwright.deliver.store.people_tables import keys, shares

LONGEST_DAYS_COUNT = 90
TOKEN = re.compile(r"([0-9a-f]{16})\.(\d{1,12})\.([0-9a-f]{64})")


@dataclass(frozen=True, slots=True)
class Share:
    """One link: to which job of which firm, made by whom, until when, and whether it was ended."""

    id: str
    job: str
    firm: str
    who: str
    created: str
    expires: str
    ended: str | None


class Shares:
    """The links in a store. Each method is one transaction."""

    def __init__(self, engine: sql.Engine, clock: Clock = utc_now) -> None:
        self._engine = engine
        self._clock = clock
        self._key = bytes.fromhex(self._kept_key())

    def make(self, *, job: str, firm: str, who: str, days: int) -> Share:
        """A link to a job for so many days. Raises ValueError for none or too many."""
        if not 1 <= days <= LONGEST_DAYS_COUNT:
            raise ValueError(f"a link stands for 1 to {LONGEST_DAYS_COUNT} days")
        now = self._clock().replace(microsecond=0)
        made = Share(secrets.token_hex(8), job, firm, who, written(now),
                     written(now + datetime.timedelta(days=days)), None)  # fmt: skip
        with self._engine.connect().execution_options(writes=True) as link, link.begin():
            link.execute(sql.insert(shares).values(id=made.id, job=job, firm=firm, who=who, created=made.created,
                                                   expires=made.expires))  # fmt: skip
        return made

    def token(self, share: Share) -> str:
        """What stands in the link of a share."""
        until = int(datetime.datetime.fromisoformat(share.expires).timestamp())
        return f"{share.id}.{until}.{self._signed(share.id, until)}"

    def of(self, token: str) -> Share | None:
        """The share of a token that is whole, not yet run out and not ended."""
        found = TOKEN.fullmatch(token)
        if not found or not hmac.compare_digest(self._signed(found[1], int(found[2])), found[3]):
            return None
        now = self._clock()
        if int(found[2]) <= now.timestamp():
            return None
        wanted = sql.select(shares).where(shares.c.id == found[1], shares.c.ended.is_(None),
                                          shares.c.expires > written(now))  # fmt: skip
        with self._engine.begin() as link:
            row = link.execute(wanted).mappings().one_or_none()
        return Share(**row) if row else None

    def of_job(self, job: str, firm: str) -> tuple[Share, ...]:
        """The links that a firm made to a job and that still open it."""
        wanted = sql.select(shares).where(shares.c.job == job, shares.c.firm == firm, shares.c.ended.is_(None),
                                          shares.c.expires > written(self._clock()))  # fmt: skip
        with self._engine.begin() as link:
            return tuple(Share(**row) for row in link.execute(wanted.order_by(shares.c.created)).mappings())

    def end(self, share: str, *, job: str, firm: str) -> None:
        """End a link of this firm to this job, where there is one."""
        with self._engine.connect().execution_options(writes=True) as link, link.begin():
            here = sql.and_(shares.c.job == job, shares.c.firm == firm, shares.c.ended.is_(None))
            link.execute(sql.update(shares).values(ended=written(self._clock())).where(shares.c.id == share, here))

    def _signed(self, share: str, until: int) -> str:
        return hmac.new(self._key, f"share|{share}|{until}".encode(), hashlib.sha256).hexdigest()

    def _kept_key(self) -> str:
        with self._engine.connect().execution_options(writes=True) as link, link.begin():
            found = link.scalar(sql.select(keys.c.value).where(keys.c.name == "share"))
            if found is None:
                found = secrets.token_hex(32)
                link.execute(sql.insert(keys).values(name="share", value=found))
            return str(found)
