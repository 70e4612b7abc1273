"""Script in every text of the record: taken as text, given back as text, and never script on a page."""

import re

import pytest
from jobs_sent import API, change, operation

from ampwright.deliver.web.parts import parts
from ampwright.job.fields import bare, leaves

EVIL = "<script>alert(1)</script><img src=x onerror=alert(1)>'\" {{ 7*7 }} ${7*7}"
TEXTS = [path for path, hint in leaves().items() if bare(hint) is str]
PLAIN = [path for path in TEXTS if "[]" not in path]
LISTED = sorted({path.split("[]")[0] for path in TEXTS if "[]" in path})


def test_there_are_texts():
    assert len(PLAIN) > 10
    assert "title" in PLAIN
    assert LISTED


@pytest.fixture
def filled(client):
    """The address of a job with script in every text that stands alone and takes any words."""
    address = client.post(f"{API}/jobs", json={"operation": operation(), "record": {"version": 2, "title": EVIL}})
    address = address.headers["location"]
    taken = ["title"]
    for path in PLAIN:
        if change(client, address, client.get(address).json()["head"], {path: EVIL}).status_code == 200:
            taken.append(path)
    assert len(taken) > len(PLAIN) / 2
    return address, taken


def test_it_comes_back_as_it_was(client, filled):
    address, taken = filled
    record = client.get(address).json()["record"]
    for path in taken:
        here = record
        for name in path.split("."):
            here = here[name]
        assert here == EVIL
    for below in ("", "/history", "/assessment", "/tests", "/due"):
        assert client.get(f"{address}{below}").headers["content-type"] == "application/json"
    assert client.get(f"{address}/file").headers["content-type"].startswith("application/yaml")


def test_no_page_runs_it(client, filled):
    page = filled[0].removeprefix(API)
    shown = ["/", page, f"{page}/checks", f"{page}/history", *(f"{page}/part/{part}" for part in parts())]
    seen = 0
    for address in shown:
        text = client.get(address).text
        seen += "&lt;script&gt;alert(1)" in text
        assert "<script>alert" not in text
        assert not re.search(r"<img[^>]+onerror", text)
        assert "49" not in re.findall(r"\{\{ ?7\*7 ?\}\}|\b49\b", text)
    assert seen > 4


@pytest.mark.parametrize("group", LISTED)
def test_script_in_the_entries_of_lists(client, group):
    """Every text of the first entry of each list; where a text takes listed words alone it is refused in words."""
    address = client.post(f"{API}/jobs", json={"operation": operation(), "record": {"version": 2, "title": "x"}})
    address = address.headers["location"]
    inner = [path.split("[]", 1)[1].lstrip(".") for path in TEXTS if path.startswith(f"{group}[]")]
    entry = {name: EVIL for name in inner if name and "[" not in name and "." not in name}
    wanted = {f"{group}[0]": entry} if entry else {group: [EVIL]}
    answer = change(client, address, client.get(address).json()["head"], wanted)
    assert answer.status_code in (200, 422)
    if answer.status_code == 422:
        assert answer.json()["faults"]
    for page in (address.removeprefix(API), f"{address.removeprefix(API)}/history"):
        text = client.get(page).text
        assert "<script>alert" not in text
        assert not re.search(r"<img[^>]+onerror", text)
