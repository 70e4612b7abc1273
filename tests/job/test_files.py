"""What a job file says is what the record holds, and back again."""

import datetime
import typing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jobs import house

from ampwright.deliver.demo import JOBS, demo_files
from ampwright.job.fields import bare, fields, hints, is_group, item_of
from ampwright.job.files import dump, load, parse
from ampwright.job.record import Job, Load, Section, SensorReading, Supply, Tests
from ampwright.job.writing import quoted
from ampwright.reading import Reading, assumed, measured

NOTES = st.text(st.characters(exclude_categories=["Cs", "Cc", "Cf"]), max_size=30)
SKIPPED = {"version", "edition", "site.mpan", "installation.half_hourly.csv"}


def test_the_forms_of_a_reading():
    job = parse("""
version: 2
supply:
  ze_ohm: {value: 0.21, with: loop tester, when: 2026-11-20}
  pfc_ka: {value: 1.1, because: the operator's record}
  tails: {size_mm2: 25, length_m: null, method: C}
route:
  - {name: a, length_m: 18.5, depth_m: {low: 0.4, high: 0.6, because: paced, with: eye, when: 2026-11-19}}
""")
    assert job.supply.ze_ohm == Reading(0.21, 0.21, "", datetime.date(2026, 11, 20), "loop tester")
    assert job.supply.pfc_ka == Reading(1.1, 1.1, "the operator's record")
    assert job.supply.tails.size_mm2 == measured(25)
    assert job.supply.tails.length_m is None
    assert job.supply.ze_ohm is not None
    assert isinstance(job.supply.ze_ohm.low, float)
    assert job.route[0].length_m == measured(18.5)
    assert job.route[0].depth_m == Reading(0.4, 0.6, "paced", datetime.date(2026, 11, 19), "eye")


def test_what_is_left_empty_is_as_if_left_out():
    assert parse("version: 2\nsite:\n  gas:\npeople:\nsupply: {declared_v: }\ndate:\n") == Job()
    assert parse("version: 2\nsupply: {metered: null}\n").supply.metered is None
    assert parse("version: 2\ninstallation: {loads: []}\n").installation.loads == ()
    assert parse("version: 2\nsupply: {phases: 3.0}\n").supply.phases == 3


def test_text_stays_as_written():
    job = parse("version: 2\ntitle: on\nreference: '007'\nsite: {address: [No, 2026-11-20]}\n")
    assert (job.title, job.reference, job.site.address) == ("on", "007", ("No", "2026-11-20"))


@pytest.mark.parametrize("name", JOBS)
def test_the_demo_jobs_read_back_equal(name, tmp_path):
    for each, text in demo_files().items():
        (tmp_path / each).write_text(text, encoding="utf-8")
    job = load(tmp_path / name)
    assert parse(dump(job), tmp_path) == job


def test_a_whole_house_reads_back_equal():
    assert parse(dump(house())) == house()


def test_a_dump_is_short_and_plain():
    job = Job(
        title="Charge point: front",
        supply=Supply(ze_ohm=measured(0.21, "loop tester", datetime.date(2026, 11, 20)), metered=None),
        route=(Section(name="wall", length_m=assumed(3, 6.5, "paced"), through=("stone, thick", "no")),),
    )
    assert dump(job) == """version: 2
title: "Charge point: front"
supply:
  metered: null
  ze_ohm: {value: 0.21, with: loop tester, when: 2026-11-20}
route:
  - name: wall
    length_m: {low: 3, high: 6.5, because: paced}
    through: ["stone, thick", "no"]
"""
    assert parse(dump(job)) == job
    assert dump(Job()) == "version: 2\n"


def test_a_range_without_its_reason_is_not_written():
    with pytest.raises(ValueError, match="30 to 60 has no reason"):
        dump(Job(route=(Section(name="a", length_m=assumed(30, 60)),)))


def leaf(hint, path):
    """Any value that the record allows at a path."""
    plain, field = bare(hint), fields()[path]
    if (item := item_of(plain)) is not None:
        return st.lists(leaf(item, path), max_size=3).map(tuple)
    if typing.get_origin(plain) is typing.Literal:
        return st.sampled_from(typing.get_args(plain))
    if plain is int:
        return st.integers(int(field.low or 0), int(field.high or 0))
    numbers = st.floats(field.low, field.high) if field.low is not None else st.nothing()
    if plain is Reading:
        return st.one_of(
            st.builds(lambda x, b, d, w: Reading(x, x, b, d, w), numbers, NOTES, st.none() | st.dates(), NOTES),
            st.builds(lambda x, y, b, w: Reading(min(x, y), max(x, y), b or "why", None, w), numbers, numbers, NOTES,
                      NOTES),
        )  # fmt: skip
    return {str: NOTES, bool: st.booleans(), float: numbers, datetime.date: st.dates()}[plain]


def any_of(group, above=""):
    """Any value of a group of fields."""
    drawn = {}
    for name, hint in hints(group).items():
        path = f"{above}{name}"
        if path in SKIPPED:
            continue
        if is_group(hint):
            inner = any_of(bare(hint), f"{path}.")
        elif is_group(item_of(hint)):
            inner = st.lists(any_of(item_of(hint), f"{path}[]."), max_size=2).map(tuple)
        else:
            inner = leaf(hint, path)
        if type(None) in typing.get_args(hint):
            inner = st.none() | inner
        drawn[name] = inner
    return st.builds(group, **drawn)


def is_consistent(job):
    """Whether nothing in the job contradicts itself, which the door refuses."""
    charge_point, circuit = job.charge_point, job.circuit
    set_higher = None not in (charge_point.set_a, charge_point.rated_a) and charge_point.set_a > charge_point.rated_a
    without_rcd = circuit.device.kind == "rcbo" and circuit.rcd.fitted is False
    unfitted = job.generation.part_of_this_job is True and job.generation.fitted is False
    return not (set_higher or without_rcd or unfitted)


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(any_of(Job).filter(is_consistent))
def test_any_job_reads_back_equal(job):
    assert parse(dump(job)) == job


@settings(max_examples=300, deadline=None)
@given(NOTES)
def test_any_text_reads_back_equal(text):
    assert parse(f"title: {quoted(text)}\nsite: {{address: [{quoted(text)}, a]}}").site.address == (text, "a")
    assert parse(f"title: {quoted(text)}").title == text


@pytest.mark.parametrize(
    "text",
    ["no", "Null", "1e3", "012", "2026-11-20", "- a", "a: b", "a #b", " a ", "~", "", "*a", "'", "\\", "\U0001f600"],
)
def test_text_that_looks_like_something_else(text):
    assert parse(f"title: {quoted(text)}").title == text


def test_reading_twice_builds_equal_jobs_and_no_shared_state():
    text = dump(house())
    assert parse(text) == parse(text)
    assert all(isinstance(each, Load) for each in parse(text).installation.loads or ())
    assert parse(text).installation.loads


def test_half_hourly_is_left_unread_without_a_folder():
    text = "version: 2\ninstallation: {half_hourly: {csv: nowhere.csv}}"
    assert parse(text).installation.half_hourly.csv == "nowhere.csv"
    assert parse(text, None).installation.half_hourly.highest_kwh is None


def test_the_file_is_never_changed(tmp_path: Path):
    path = tmp_path / "old.yaml"
    path.write_text("supply: {fuse_a: 80}\n", encoding="utf-8")
    load(path)
    assert path.read_text(encoding="utf-8") == "supply: {fuse_a: 80}\n"


@pytest.mark.parametrize("written", ["100", "'100'"])
def test_a_method_made_of_digits_wants_no_quotes(written):
    job = parse(f"version: 2\nroute: [{{name: a, method: {written}}}]\n")

    assert job.route[0].method == "100"
    assert parse(dump(job)) == job


def test_a_reading_that_says_nothing_yet_is_kept():
    job = Job(tests=Tests(sensing=(SensorReading(), SensorReading(car_a=6))))
    assert parse(dump(job)) == job
