"""A folder with the demo jobs in it, written by the command; places for a store, of both kinds."""

import itertools

import pytest
from command import run
from postgres import Cluster

from ampwright.deliver.store.store import Store

KINDS = ("sqlite", "postgresql")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    where = tmp_path_factory.mktemp("jobs")
    assert run("demo", ".", cwd=where).returncode == 0
    return where


@pytest.fixture
def store(tmp_path):
    """A store with nothing in it."""
    made = Store(tmp_path / "jobs.db")
    yield made
    made.close()


@pytest.fixture(scope="session")
def cluster():
    made = Cluster()
    yield made
    made.close()


@pytest.fixture
def places(tmp_path, request):
    """A way to a new empty place of each kind."""
    number = itertools.count()
    lent = []

    def new(kind):
        if kind == "sqlite":
            return tmp_path / f"jobs-{next(number)}.db"
        lent.append(request.getfixturevalue("cluster").database())
        return lent[-1]

    yield new
    for each in lent:
        request.getfixturevalue("cluster").take_back(each)


@pytest.fixture(params=KINDS)
def kind(request):
    return request.param


@pytest.fixture
def place(places, kind):
    return places(kind)
