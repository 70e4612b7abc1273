"""A folder with the demo jobs in it, written by the command."""

import pytest
from command import run


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    where = tmp_path_factory.mktemp("jobs")
    assert run("demo", ".", cwd=where).returncode == 0
    return where
