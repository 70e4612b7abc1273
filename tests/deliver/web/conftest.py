import re

import pytest
from signing import app_of
from starlette.testclient import TestClient

from ampwright.deliver.commands_web import take_in_demo
from ampwright.deliver.web.app import create_app


@pytest.fixture
def app(tmp_path):
    found = create_app(tmp_path / "jobs.db", "Ann")
    take_in_demo(found.state.site.store)
    return found


@pytest.fixture
def client(app):
    return TestClient(app, base_url="http://localhost:8722")


@pytest.fixture
def terrace(client):
    """The address of the job that was quoted from photographs."""
    return re.findall(r"/jobs/\w{16}", client.get("/").text)[2]


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
    return app_of(tmp_path)
