import itertools

import pytest
from desk import Desk
from postgres import Cluster

KINDS = ("sqlite", "postgresql")


@pytest.fixture(scope="session")
def cluster():
    made = Cluster()
    yield made
    made.close()


@pytest.fixture
def places(tmp_path, request):
    """A way to a new empty place of each kind."""
    number = itertools.count()

    def new(kind):
        if kind == "sqlite":
            return tmp_path / f"jobs-{next(number)}.db"
        return request.getfixturevalue("cluster").database()

    return new


@pytest.fixture(params=KINDS)
def kind(request):
    return request.param


@pytest.fixture
def place(places, kind):
    return places(kind)


@pytest.fixture
def desk(place):
    made = Desk(place)
    yield made
    made.store.close()
