"""Tokens of programs, over both databases: how long they stand, what they allow, what ends them."""

import datetime

import pytest
import sqlalchemy as sql
from signing import OUR, PASSWORD

from ampwright.deliver.store.databases import raw
from ampwright.deliver.store.people import CannotDo, People
from ampwright.deliver.store.sessions import Sessions
from ampwright.deliver.store.shape import migrate, shape_of
from ampwright.deliver.store.store import Store
from ampwright.deliver.store.tables import NEWEST
from ampwright.deliver.store.tokens import LONGEST_DAYS_COUNT, MOST_COUNT, PREFIX, Tokens

NOON = datetime.datetime(2026, 6, 3, 12, tzinfo=datetime.UTC)


class Office:
    """The people of one firm in a store, and the time by its clock."""

    def __init__(self, place):
        self.store, self.now = Store(place), NOON
        self.people = People(self.store.engine, lambda: self.now)
        self.tokens = Tokens(self.store.engine, lambda: self.now)
        for login, role in (("owner", "owner"), ("ann", "designer")):
            self.people.add(firm=OUR, login=login, name=login.title(), role=role, password=PASSWORD)

    def make(self, login="ann", name="night run", role="designer", days=31):
        person = self.people.named(login)
        assert person is not None
        return self.tokens.make(person, name=name, role=role, days=days)

    def let_in(self, secret):
        found = self.tokens.of(secret)
        return found and found[1].role


@pytest.fixture
def office(place):
    found = Office(place)
    yield found
    found.store.close()


def test_a_token_is_shown_once_and_lets_its_person_in(office):
    token, secret = office.make()
    found, person = office.tokens.of(secret)
    assert (found, person) == (token, office.people.named("ann"))
    assert secret.startswith(PREFIX)
    assert len(secret) == len(PREFIX) + 43  # 256 bits, six a letter
    with office.store.engine.begin() as link:
        row = link.execute(sql.text("SELECT * FROM access_token")).one()
    assert not any(secret[len(PREFIX):] in str(each) for each in row)


@pytest.mark.parametrize("forge", [lambda each: each[:-1] + ("A" if each[-1] != "A" else "B"), lambda _: "",
                                   lambda each: each.removeprefix(PREFIX), lambda each: each + " ",
                                   lambda _: "' or '1'='1", lambda _: PREFIX])  # fmt: skip
def test_a_forged_token_is_nobodys(office, forge):
    _, secret = office.make()
    assert office.let_in(forge(secret)) is None
    assert office.let_in(secret) == "designer"


def test_the_hash_in_the_store_is_no_token(office):
    office.make()
    with office.store.engine.begin() as link:
        kept = link.scalar(sql.text("SELECT hash FROM access_token"))
    assert office.let_in(kept) is None


def test_it_runs_out_on_its_day(office):
    _, secret = office.make(days=7)
    office.now = NOON + datetime.timedelta(days=7, seconds=-1)
    assert office.let_in(secret) == "designer"
    office.now = NOON + datetime.timedelta(days=7)
    assert office.let_in(secret) is None
    assert office.tokens.standing(office.people.named("ann")) == ()


def test_it_never_allows_more_than_the_person_may_by_now(office):
    ann = office.people.named("ann")
    _, all_of_it = office.make()
    _, little = office.make(name="reads", role="reader")
    assert office.let_in(little) == "reader"
    office.people.set_role(ann.firm, ann.id, "installer")
    assert (office.let_in(all_of_it), office.let_in(little)) == ("installer", "reader")
    office.people.set_role(ann.firm, ann.id, "owner")
    assert (office.let_in(all_of_it), office.let_in(little)) == ("designer", "reader")


@pytest.mark.parametrize("deed", [
    lambda office, ann: office.tokens.end(ann, "night run"),
    lambda office, ann: office.tokens.end(ann, office.tokens.standing(ann)[0].id),
    lambda office, ann: office.people.end(ann.firm, ann.id),
    lambda office, ann: office.people.set_password(ann, "another row of words"),
    lambda office, ann: office.people.set_password(ann, "another row of words", must_change=True),
    lambda office, ann: Sessions(office.store.engine).end_all(ann),
])  # fmt: skip
def test_what_ends_it_ends_it_for_good(office, deed):
    _, secret = office.make()
    _, others = office.make("owner")
    deed(office, office.people.named("ann"))
    assert office.let_in(secret) is None
    assert office.let_in(others) == "designer"


def test_nobody_ends_another_s(office):
    token, secret = office.make()
    for which in (token.id, token.name):
        with pytest.raises(CannotDo, match="no such token"):
            office.tokens.end(office.people.named("owner"), which)
    assert office.let_in(secret) == "designer"


def test_all_faults_at_once(office):
    with pytest.raises(CannotDo) as told:
        office.make(name="\x1b[2J", role="owner", days=0)
    assert len(told.value.faults) == 3
    assert "may not do more than who it works for" in str(told.value)
    for days in (-1, LONGEST_DAYS_COUNT + 1):
        with pytest.raises(CannotDo, match="1 to 366 days"):
            office.make(days=days)
    with pytest.raises(CannotDo, match="no role 'boss'"):
        office.make(role="boss")


def test_a_first_password_makes_no_token_and_shuts_out_those_there_are(office):
    ann = office.people.named("ann")
    office.people.set_password(ann, "another row of words", must_change=True)
    with pytest.raises(CannotDo, match="password of your own first"):
        office.make()


def test_a_name_stands_once_and_so_many_at_a_time(office):
    office.make()
    with pytest.raises(CannotDo, match="already"):
        office.make()
    for number in range(MOST_COUNT - 1):
        office.make(name=f"run {number}")
    with pytest.raises(CannotDo, match="stand already"):
        office.make(name="one more")
    office.tokens.end(office.people.named("ann"), "night run")
    office.make()


def test_no_way_down_forgets_a_token(office, place):
    office.make()
    office.store.close()
    opened = raw(place, foreign_keys=False)
    with pytest.raises(ValueError, match="programs have tokens"):
        migrate(opened, "0006")
    with opened.connect() as link:
        assert shape_of(link) == NEWEST
    opened.dispose()


def test_down_and_up_again_where_there_is_none(office, place):
    office.store.close()
    opened = raw(place, foreign_keys=False)
    migrate(opened, "0006")
    with opened.connect() as link:
        assert "access_token" not in sql.inspect(link).get_table_names()
        assert "person" in sql.inspect(link).get_table_names()
    opened.dispose()
    Store(place).close()
