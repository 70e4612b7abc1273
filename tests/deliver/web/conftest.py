import re

import pytest
from demo_jobs import with_demo
from signing import app_of
from starlette.testclient import TestClient

from ampwright.deliver.web.app import create_app


@pytest.fixture
def app(tmp_path):
    found = create_app(with_demo(tmp_path / "jobs.db"), "Ann")
    yield found
    found.state.site.runs.close()


@pytest.fixture
def client(app):
    return TestClient(app, base_url="http://localhost:8722")


@pytest.fixture
def terrace(client):
    """The address of the job that was quoted from photographs."""
    return re.findall(r"/jobs/\w{16}", client.get("/").text)[2]


@pytest.fixture
def house(client):
    """The address of the house with a garage, a roof and two sensors that were read twice."""
    return re.findall(r"/jobs/\w{16}", client.get("/").text)[0]


@pytest.fixture
def farm(client):
    """The address of the farmhouse with three phases, whose sensors nobody has read yet."""
    return re.findall(r"/jobs/\w{16}", client.get("/").text)[1]


@pytest.fixture
def record(app):
    """The record of a job by its address."""
    return lambda address: app.state.site.store.read(address.rsplit("/", 1)[-1])[0]


@pytest.fixture
def hidden():
    """What a page's form carries without being asked."""

    def found(text):
        return dict(re.findall(r'<input type="hidden" name="(base|operation|test|number)" value="([\w-]+)"', text))

    return found


@pytest.fixture
def form(client, terrace):
    """A survey form of that job as a browser would send it, with some boxes changed."""

    def filled(part, **changes):
        text = client.get(f"{terrace}/part/{part}").text
        hidden = dict(re.findall(r'<input type="hidden" name="(base|operation)" value="(\w+)"', text))
        return {**hidden, **{name.replace("__", "."): value for name, value in changes.items()}}

    return filled


@pytest.fixture
def firms(tmp_path):
    """The app for others than this machine, with the people of two firms."""
    found = app_of(tmp_path)
    yield found
    found.state.site.runs.close()
