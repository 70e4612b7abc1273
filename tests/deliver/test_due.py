"""`ampwright due`, run as a person runs it; its calendar read back by the library."""

import json

import pytest
from command import run
from icalendar import Calendar

FARM = "farmhouse.yaml"
DATES = """
dates:
  contract: 2026-11-10
  away_from_premises: true
  installed: 2026-11-24
"""


@pytest.fixture
def installed(folder, tmp_path):
    text = (folder / FARM).read_text(encoding="utf-8")
    (tmp_path / FARM).write_text(text + DATES, encoding="utf-8")
    return tmp_path


def test_what_is_owed_job_by_job(installed):
    done = run("due", FARM, "--on", "2026-11-26", cwd=installed)
    told = " ".join(done.stdout.split())
    assert done.returncode == 1  # installed without the operator's word
    assert "OVERDUE: network notice, to the network operator." in told
    assert "OWED: building notice, until 24 December 2026 (in 28 days); to the occupier" in told  # 24 November and 30
    assert "ended: cancellation, until 24 November 2026" in told  # 10 November and 14
    assert "from memory; memory" in told


def test_all_of_a_folder_as_json(folder):
    found = json.loads(run("due", "--all", ".", "--on", "2026-11-26", "--json", cwd=folder).stdout)
    assert [each["file"] for each in found["jobs"]] == [FARM, "house_with_garage.yaml", "terrace.yaml"]
    assert found["status"] == 2


def test_the_calendar_is_read_back_and_the_same_twice(installed):
    for name in ("a.ics", "b.ics"):
        run("due", FARM, "--on", "2026-11-26", "--ics", name, cwd=installed)
    first = (installed / "a.ics").read_bytes()
    assert first == (installed / "b.ics").read_bytes()
    events = Calendar.from_ical(first).walk("VEVENT")
    days = {str(each["summary"]): each.decoded("dtstart").isoformat() for each in events}
    assert days == {"D-002: last day, the occupier and the local authority": "2026-12-24"}
    assert all(str(each["uid"]).endswith("@ampwright") for each in events)
    assert b"\r\n" in first


def test_no_file_is_a_wrong_command_line(folder):
    assert run("due", cwd=folder).returncode == 3
    assert run("due", FARM, "--on", "soon", cwd=folder).returncode == 3
