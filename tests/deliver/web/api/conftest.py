"""An app with one small job that every answer is quick on, beside those of the demo where a test asks for them."""

import pytest
from demo_jobs import with_demo
from jobs_sent import API, SMALL, operation
from signing import app_of
from starlette.testclient import TestClient

from ampwright.deliver.web.app import create_app


@pytest.fixture(scope="session")
def bare_app(tmp_path_factory):
    """An app with the small job alone."""
    app = create_app(tmp_path_factory.mktemp("bare") / "jobs.db", "Ann")
    app.state.site.store.take_in("version: 2\ntitle: A small job\n", operation="begin-01", who="Ann", origin="a test")
    return app


@pytest.fixture
def app(tmp_path):
    found = create_app(tmp_path / "jobs.db", "Ann")
    yield found
    found.state.site.runs.close()


@pytest.fixture
def client(app):
    return TestClient(app, base_url="http://localhost:8722", raise_server_exceptions=False)


@pytest.fixture
def small(client):
    """The address of a small job."""
    return client.post(f"{API}/jobs", json={"operation": operation(), "record": SMALL}).headers["location"]


@pytest.fixture(scope="session")
def demo(tmp_path_factory):
    """A client of an app with the demo jobs, and their ids by reference. Nothing here changes them."""
    app = create_app(with_demo(tmp_path_factory.mktemp("demo") / "jobs.db"), "Ann")
    client = TestClient(app, base_url="http://localhost:8722", raise_server_exceptions=False)
    return client, {each["reference"]: each["id"] for each in client.get(f"{API}/jobs").json()["jobs"]}


@pytest.fixture
def firms(tmp_path):
    """The app for others than this machine, with the people of two firms."""
    found = app_of(tmp_path)
    yield found
    found.state.site.runs.close()
