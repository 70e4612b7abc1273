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
    assert "OVERDUE: network notice, until 24 November 2026 (2 days ago); to the network operator." in told
    assert "OWED: building notice, until 24 December 2026 (in 28 days); to the occupier" in told  # 24 November and 30
    assert "ended: cancellation, until 24 November 2026" in told  # 10 November and 14
    assert "from memory; memory" in told


def test_all_of_a_folder_as_json(folder):
    found = json.loads(run("due", "--all", ".", "--on", "2026-11-26", "--json", cwd=folder).stdout)
    assert [each["file"] for each in found["jobs"]] == ["bungalow.yaml", FARM, "house_with_garage.yaml", "terrace.yaml"]
    assert found["status"] == 2


def test_the_calendar_is_read_back_and_the_same_twice(installed):
    for name in ("a.ics", "b.ics"):
        run("due", FARM, "--on", "2026-11-26", "--ics", name, cwd=installed)
    first = (installed / "a.ics").read_bytes()
    assert first == (installed / "b.ics").read_bytes()
    events = Calendar.from_ical(first).walk("VEVENT")
    days = {str(each["summary"]): each.decoded("dtstart").isoformat() for each in events}
    assert days == {"D-002: last day, the occupier and the local authority": "2026-12-24",
                    "D-002: last day, the network operator": "2026-11-24"}  # fmt: skip
    assert all(str(each["uid"]).endswith("@ampwright") for each in events)
    assert b"\r\n" in first


def test_no_file_is_a_wrong_command_line(folder):
    assert run("due", cwd=folder).returncode == 3
    assert run("due", FARM, "--on", "soon", cwd=folder).returncode == 3


def test_two_jobs_under_one_reference_keep_their_own_entries(installed):
    (installed / "copy.yaml").write_bytes((installed / FARM).read_bytes())
    run("due", FARM, "--all", ".", "--on", "2026-11-26", "--ics", "a.ics", cwd=installed)
    uids = [str(each["uid"]) for each in Calendar.from_ical((installed / "a.ics").read_bytes()).walk("VEVENT")]
    assert len(uids) == len(set(uids)) == 4  # the farm is named twice and told once: two clocks of two files


def test_a_file_that_cannot_be_read_does_not_hide_the_others(installed):
    (installed / "broken.yaml").write_text("supply: [", encoding="utf-8")
    (installed / "older.yaml").write_text("version: soon", encoding="utf-8")
    done = run("due", "--all", ".", "--on", "2026-11-26", cwd=installed)
    assert done.returncode == 3
    assert "broken.yaml" in done.stderr
    assert "older.yaml" in done.stderr
    assert "OVERDUE: network notice" in done.stdout


def test_generation_of_the_job_has_an_entry_of_its_own_and_so_has_what_is_to_be_agreed_before(folder, tmp_path):
    panels = """
generation:
  fitted: true
  part_of_this_job: true
  inverter_a: AMPS
  commissioned: 2028-02-03
storage: {fitted: false}
dates: {planned: 2028-03-20}
"""
    for amps, day in (("16", "2028-03-02"), ("20", "2028-02-03")):  # 3 February 2028 and 28 days; the day itself
        (tmp_path / "job.yaml").write_text(panels.replace("AMPS", amps), encoding="utf-8")
        done = run("due", "job.yaml", "--on", "2028-01-10", "--ics", "a.ics", "--json", cwd=tmp_path)
        (told,) = [each for each in json.loads(done.stdout)["jobs"][0]["due"] if each["clock"].startswith("generation")]
        assert (told["by"], told["trust"]) == (day, "reprinted")
        (event,) = Calendar.from_ical((tmp_path / "a.ics").read_bytes()).walk("VEVENT")
        assert event.decoded("dtstart").isoformat() == day
        assert str(event["summary"]) == "job.yaml: last day, the network operator"
