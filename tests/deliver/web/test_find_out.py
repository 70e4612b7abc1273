"""What is to be found out: by the names of its entries, most of it folded, each a way to where it is asked."""

import re
from html import unescape

import pytest

from ampwright.deliver.web.contexts import JobPage
from ampwright.deliver.web.parts import asked_at, called
from ampwright.job.house import Load
from ampwright.job.paths import replaced
from ampwright.job.record import Job, Section

LINK = re.compile(r'href="(/jobs/[^"#]+)#([^"]+)"')


@pytest.fixture(params=["/jobs new", 0, 1, 2])
def address(request, client):
    """A new job, and each demo job."""
    if request.param == "/jobs new":
        return client.post("/jobs", data={"title": "14 Sample Road", "operation": "b" * 32}).url.path
    return re.findall(r"/jobs/\w{16}", client.get("/").text)[request.param]


@pytest.mark.parametrize("page", ["", "/checks", "/sheet", "/load-cap", "/due"])
def test_every_way_to_a_question_ends_at_it(client, address, page):
    pages = {}
    for to, at in LINK.findall(client.get(address + page).text):
        if to not in pages:
            pages[to] = unescape(client.get(to).text)
        assert f'id="{unescape(at)}"' in pages[to], (to, at)


@pytest.mark.parametrize(("path", "where"), [
    ("supply.ze_ohm", "part/cut-out#supply.ze_ohm"), ("installation.loads", "part/board#installation.loads"),
    ("tests.sensing", "sensors"), ("installation.half_hourly.days_count", ""), ("version", "")])  # fmt: skip
def test_where_a_path_is_asked(path, where):
    assert asked_at(path) == where


def test_most_of_a_long_list_is_folded(client):
    client.post("/jobs", data={"title": "14 Sample Road", "operation": "b" * 32})
    found = client.get(re.findall(r"/jobs/\w{16}", client.get("/").text)[-1]).text
    assert len(LINK.findall(found)) > 20
    shown, folded = found.split('<ol class="next">')[1].split('<ol class="next on"')
    assert shown.count("<li>") == JobPage.FIRST
    assert f"<summary>{folded.split('</ol>')[0].count('<li>')} more</summary>" in shown


def test_an_entry_is_called_by_its_name():
    loads = tuple(Load(purpose="cooking", name=f"ring {number}") for number in range(11))
    job = replaced(replaced(Job(), "installation.loads", loads), "route", (Section(name="front wall"),))
    assert called(job, "installation.loads[0].power_w").endswith("(loads, no. 1: ring 0)")
    assert called(job, "installation.loads[10].power_w").endswith("(loads, no. 11: ring 10)")
    assert called(job, "route[0].length_m").endswith("(route, no. 1: front wall)")
    assert called(job, "installation.loads[11].power_w").endswith("(loads, no. 12)")  # taken out meanwhile
    assert called(job, "supply.ze_ohm") == "earth fault loop impedance at the cut-out, Ze"
