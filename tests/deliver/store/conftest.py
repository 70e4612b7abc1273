import pytest
from desk import Desk


@pytest.fixture
def desk(place):
    made = Desk(place)
    yield made
    made.store.close()
