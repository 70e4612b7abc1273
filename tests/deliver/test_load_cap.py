"""`ampwright loadcap`, run as a person runs it; the drawing and the JSON."""

import dataclasses
import json
import xml.etree.ElementTree as ET

import pytest
from command import run
from situations import LIMIT, capped

from ampwright.assess.load_cap.report import QUESTIONS, report
from ampwright.deliver import load_cap
from ampwright.deliver.demo import JOBS
from ampwright.deliver.load_plot import picture
from ampwright.job.record import Load
from ampwright.reading import assumed, measured
from ampwright.working import Verdict

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def found():
    return report(capped())


def test_the_demo_house_is_offered_a_cap_with_its_day_drawn(folder):
    done = run("loadcap", "house_with_garage.yaml", "--working", "--plot", "day.svg", cwd=folder)
    assert done.returncode == 1  # its supply sensor faces the wrong way, as its readings show
    told = " ".join(done.stdout.split())
    assert "No load cap yet: put right what is not met below. Then set no more than 76 A, if it still stands." in told
    assert "76 A shown can be at most 79.4 A true" in done.stdout  # (76 + 0.05 + 0.5) / 0.965 = 79.33
    assert "Tmost = (Ccap + rstep + Idead + Ifalse) / (1 - errs) + Iblind" in done.stdout
    assert "THE WORST DAY THAT WAS FOUND" in done.stdout
    drawing = ET.parse(folder / "day.svg").getroot()
    assert drawing.tag == f"{SVG}svg"
    assert "load cap of 76 A" in drawing.findtext(f"{SVG}title", "")


def test_what_was_not_looked_at_is_asked_once(folder):
    done = run("loadcap", "terrace.yaml", cwd=folder)
    assert done.returncode == 2
    assert "No load cap can be offered yet" in done.stdout
    told = " ".join(done.stdout.split())
    assert told.count("time without a new reading") == 1
    assert "Find out what is asked above." in told


@pytest.mark.parametrize("name", JOBS)
def test_the_json_keeps_its_shape(name, folder):
    done = run("loadcap", name, "--json", cwd=folder)
    told = json.loads(done.stdout)
    assert set(told) == {"format", "title", "reference", "edition", "status", "offered_a", "stands_a",
                         "by_errors_a", "holds_with_house_within_a", "tally", "checks", "attack"}  # fmt: skip
    assert told["status"] == done.returncode
    assert [check["rule"] for check in told["checks"]] == [question.name for question, _ in QUESTIONS]
    assert (told["attack"] is None) == (told["stands_a"] is None)
    if told["attack"]:
        assert {len(each) for each in told["attack"]["minutes"].values()} == {1440}
        assert {len(told["attack"]["seconds"][each]) for each in ("house_a", "car_a", "lost")} == {300}
        assert told["attack"]["warmed_ratio"] <= told["attack"]["proved_warmed_ratio"]
        assert told["attack"]["hottest_c"] <= told["attack"]["proved_hottest_c"]


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("watchdog_s", "soon", "watchdog"),
        ("message_every_s", "-1", "time between two readings"),
        ("meter_percent", "0", "accuracy class of the meter"),
        ("dead_band_a", "1e9", "how far"),
    ],
)
def test_a_bad_figure_is_told_in_words(field, value, words, folder, tmp_path):
    text = (folder / "house_with_garage.yaml").read_text(encoding="utf-8")
    lines = [f"    {field}: {value}" if line.strip().startswith(f"{field}:") else line for line in text.splitlines()]
    (tmp_path / "bad.yaml").write_text("\n".join(lines), encoding="utf-8")
    done = run("loadcap", "bad.yaml", cwd=tmp_path)
    assert done.returncode == 3
    assert words in done.stderr or field in done.stderr
    assert "Traceback" not in done.stderr


def test_no_file_and_no_place_for_the_drawing(folder, tmp_path):
    assert run("loadcap", "none.yaml", cwd=tmp_path).returncode == 3
    done = run("loadcap", "terrace.yaml", "--plot", "no/such/place.svg", cwd=folder)
    assert done.returncode == 3
    assert "Traceback" not in done.stderr


def test_not_met_ends_with_one():
    assert report(capped({}, 120.0), attacked=False).exit_status == 1


def test_the_headline(found):
    until = " It counts once everything below is met and known."  # no readings of its sensor were taken yet
    assert load_cap.headline(found) == f"Load cap: set no more than 95 A.{until}"
    assert load_cap.headline(report(capped({f"{LIMIT}.fails_safe": False}, 90.0), attacked=False)) == \
        "No load cap can be offered: see below why none stands."  # fmt: skip
    doubtful = report(capped({f"{LIMIT}.limit_a": 97.0}), attacked=False)
    assert load_cap.headline(doubtful).endswith("It counts once everything below is met and known.")


def test_nothing_is_offered_behind_a_loop_or_while_it_hangs_on_what_is_open():
    looped = report(capped({"supply.looped": True}), attacked=False)
    assert (looped.offered_a, looped.exit_status) == (None, 2)
    assert "does not see the other house on this loop" in load_cap.headline(looped)
    some = report(capped({"supply.cutout.rating_a": assumed(60, 100), "supply.cutout.sustained_a": None}, 55.0, 20.0),
                  attacked=False)  # fmt: skip
    assert some.count(Verdict.NOT_MET) == 0
    assert "hangs on what is still open below" in load_cap.headline(some)
    assert some.exit_status == 2


def test_the_words_of_the_day(found):
    words = load_cap.day_words(found.job, found.line, found.day)
    assert "Against 95 A" in words
    assert "Nothing admissible passes" in words
    assert "Starting currents are not in it." in words


def test_what_to_try_on_site(found):
    # a reading a second and 5 s of response; the watchdog's 10 s and 5 s; 95 A and its dead band of 1 A
    words = load_cap.site_test(found.offered_a, found.line.situation)
    assert "must be back at 96 A or below within 6 s" in words
    assert "within 15 s the car must have stopped" in words


def test_the_drawing_without_a_day():
    assert "Nothing to draw yet" in picture(report(capped({f"{LIMIT}.watchdog_s": None})))


def test_the_drawing_says_in_words_what_it_shows(found):
    drawing = ET.fromstring(picture(found))
    assert "of the way to melting" in drawing.findtext(f"{SVG}desc", "")
    assert len(drawing.findall(f"{SVG}polygon")) == 3
    levels = [each.text for each in drawing.findall(f"{SVG}text") if each.text and each.text.startswith("may flow")]
    assert levels == ["may flow 100 A"] * 2
    assert found.count(Verdict.NOT_MET) == 0


def test_the_headline_says_with_what_house_it_holds():
    # diversity counts 40 + 0.4 x (32 + 32) = 65.6 A of house; every load at once is not shown to hold
    loads = tuple(Load(name=f"ring {each}", purpose="standard_circuits", current_a=measured(each))
                  for each in (40, 32, 32))  # fmt: skip
    told = report(capped({"installation.loads": loads}), attacked=False)
    assert "It holds while the house alone stays within its maximum demand (65.6 A)." in load_cap.headline(told)
    assert load_cap.as_json(told)["holds_with_house_within_a"] == pytest.approx(65.6)
    holds = report(capped({}, 30.0, 10.0), attacked=False)
    assert holds.house_within_a is None
    assert "It holds while" not in load_cap.headline(holds)


def test_where_the_tables_end_it_is_said_first_and_is_no_success():
    told = report(capped({"supply.cutout.kind": "bs3036"}), attacked=False)
    assert load_cap.headline(told).startswith("No load cap can be offered: our tables end here")
    assert told.exit_status != 0


@pytest.mark.parametrize(
    "changes",
    [{f"{LIMIT}.locked_from_customer": False}, {"sensors[0].reach": "whole cable only"}],
)  # fmt: skip
def test_nothing_is_offered_where_the_cap_cannot_count(changes):
    told = report(capped(changes), attacked=False)
    assert told.offered_a is None
    assert load_cap.headline(told).startswith("No load cap yet: put right")


def test_a_wire_that_loses_too_much_offers_nothing():
    told = report(capped({"sensors[0].lost_percent": 12.0}), attacked=False)
    assert told.offered_a is None
    assert told.exit_status == 1


@pytest.mark.parametrize("changes", [{f"{LIMIT}.watchdog_s": 60.0, f"{LIMIT}.response_s": 60.0},
                                     {f"{LIMIT}.fallback_a": 32.0}])  # fmt: skip
def test_nothing_is_offered_while_anything_but_the_setting_is_not_met(changes):
    told = report(capped(changes, 60.0, 20.0), attacked=False)
    assert told.exit_status == 1
    assert told.offered_a is None


def test_a_setting_that_is_too_high_is_not_met_and_the_right_one_is_offered():
    told = report(capped({f"{LIMIT}.limit_a": 98.0}), attacked=False)
    assert told.exit_status == 1
    assert told.offered_a == 95


def test_nothing_is_offered_where_the_house_alone_is_too_much():
    told = report(capped({}, 70.0, 50.0), attacked=False)
    assert told.offered_a is None
    assert told.exit_status == 1


def test_by_radio_no_more_is_offered_than_radio_is_trusted_with():
    # common practice, no source: 60 A; by wire this supply is offered 95
    radio = {"sensors[0].link": "radio", "sensors[0].lost_percent": 2.0, f"{LIMIT}.limit_a": 55.0}
    told = report(capped(radio), attacked=False)
    assert told.offered_a == 60
    assert load_cap.as_json(told)["offered_a"] == 60
    assert report(capped(), attacked=False).offered_a == 95


def test_the_site_test_lets_a_charge_point_stop(found):
    assert found.line is not None
    assert found.line.situation is not None
    assert "within 15 s the car must have stopped." in load_cap.site_test(95.0, found.line.situation)
    six = dataclasses.replace(found.line.situation, fallback_a=6.0)
    assert "must have stopped or be at 6 A or less." in load_cap.site_test(95.0, six)
