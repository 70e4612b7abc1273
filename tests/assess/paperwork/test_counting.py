"""How many entries the boxes hang on: each leaf of a finished job is taken away, to see which boxes change."""

import datetime
import typing
from collections import Counter
from dataclasses import replace
from functools import lru_cache

import pytest

from ampwright.assess.paperwork.boxes import boxes_of
from ampwright.assess.paperwork.counting import THIS_JOB, by_itself, coverage, is_entry, whose
from ampwright.deliver.demo import FINISHED, demo_files
from ampwright.job.fields import bare, leaves
from ampwright.job.files import parse
from ampwright.job.paths import at, changed, pattern_of, replaced, spread
from ampwright.job.record import Job

TODAY = datetime.date(2026, 10, 10)
DRAWN = "those who sign (drawn, not typed)"
DONE = parse(demo_files()[FINISHED])
FOUND = coverage(DONE, boxes_of(DONE, TODAY))
DECLARED = {path for paths in FOUND.entries.values() for path in paths}
# What a job cannot be without in the row of a list is given another value instead of none.
LABELS = {
    "people[].role", "installation.loads[].purpose", "generation.arrays[].name", "vehicles[].name",
    "route[].name", "tests.instruments[].name", "tests.pilot[].state",
}  # fmt: skip

# Set once more by the record itself where what they follow from still stands.
FOLLOWING = ("generation.fitted",)


def entries():
    paths = (path for pattern in leaves() for path in spread(DONE, pattern))
    return [path for path in paths if pattern_of(path) != "version" and is_entry(DONE, path)]


def without(path):
    """The finished job with one leaf as if nobody had filled it in, nor any that only follows from it."""
    pattern = pattern_of(path)
    if pattern not in LABELS:
        return changed(DONE, {path: by_itself()[pattern], **{each: by_itself()[each] for each in FOLLOWING}})
    words = typing.get_args(bare(leaves()[pattern])) or ("another",)
    return replaced(DONE, path, next(word for word in words if word != at(DONE, path)))


@lru_cache(maxsize=1)
def hanging():
    """Each entry that a compulsory box hangs on, with the boxes that change when it is gone."""
    before = [box for box in boxes_of(DONE, TODAY) if box.compulsory]
    found = {}
    for path in entries():
        after = [box for box in boxes_of(without(path), TODAY) if box.compulsory]
        same_papers = len(after) == len(before)
        changed_boxes = [box for box, other in zip(before, after, strict=False) if box.value != other.value]
        if changed_boxes or not same_papers:
            found[path] = changed_boxes if same_papers else []
    return found


def test_no_entry_that_a_box_hangs_on_is_left_out_of_the_count():
    for path, boxes in hanging().items():
        assert path in DECLARED
        for box in boxes:
            assert path in box.paths, (path, box.label)


def test_nothing_is_counted_that_no_box_hangs_on_but_what_another_answer_would_bring_in():
    # With another demand, another hole or warmer terminals these would decide; here the answer is the same without.
    assert DECLARED - set(hanging()) == {
        "charge_point.meets_standards", "charge_point.mounting", "circuit.terminals_c", "supply.upgrade_known_needed",
    }  # fmt: skip


def test_what_one_entry_gives():
    # The aim: 423 boxes from 133 entries of a person's hand for the job; here leaf by leaf, with what is typed only to
    # be reckoned with and with the labels of rows.
    own = FOUND.entries[THIS_JOB]
    assert len(FOUND.filled) == len(FOUND.compulsory)
    assert len(FOUND.filled) >= 423
    assert len(own) <= 133
    labels = [path for path in own if pattern_of(path) in LABELS - {"installation.loads[].purpose", "route[].name"}]
    assert [pattern_of(path) for path in labels] == ["tests.pilot[].state"] * 4


def test_whoevers_an_entry_is_it_is_in_the_count():
    assert {owner: len(paths) for owner, paths in FOUND.entries.items() if owner != THIS_JOB} == {
        "the design": 20, "the maker's papers": 18, "the firm": 16, DRAWN: 2,
    }  # fmt: skip
    assert FOUND.entries_count == len(set(DECLARED))


SAID = {
    "people[0].role": "customer", "installation.loads[0].name": "cooking", "generation.fitted": True,
    "installation.loads[2].name": "lighting", "tests.date": DONE.dates.installed,
    "generation.commissioned": DONE.dates.installed,
}  # fmt: skip


@pytest.mark.parametrize("path", SAID)
def test_what_the_record_says_without_being_told_may_be_said_and_fills_no_box_more(path):
    assert not is_entry(DONE, path)
    told = changed(DONE, {path: SAID[path]})
    before = [box.value for box in FOUND.boxes]
    after = [box.value for box in boxes_of(told, TODAY)]
    assert [value is None for value in after] == [value is None for value in before]
    differs = {(old, new) for old, new in zip(before, after, strict=True) if old != new}
    supposed = ("5 October 2026, the day of installation: no other is stated", "5 October 2026")
    assert differs == ({supposed} if path in ("tests.date", "generation.commissioned") else set())


def test_another_word_stands_before_what_the_record_would_say():
    other = changed(DONE, {"installation.loads[0].name": "hob", "tests.date": datetime.date(2026, 10, 6),
                           "generation.commissioned": datetime.date(2026, 10, 7)})  # fmt: skip
    told = {box.label: box.value for box in boxes_of(other, TODAY)}
    assert str(told["Existing large loads (shower, cooker, heating, heat pump, immersion)"]).startswith("hob, 7")
    assert told["Date(s) tested"] == "6 October 2026"
    assert told["Commissioning date"] == "7 October 2026"
    assert all(is_entry(other, path) for path in ("installation.loads[0].name", "tests.date"))


def test_a_day_is_not_supposed_before_there_is_anything_to_it():
    untested = changed(DONE, {"tests": replace(Job().tests, instruments=DONE.tests.instruments)})
    assert {box.value for box in boxes_of(untested, TODAY) if box.label == "Date(s) tested"} == {None}
    undone = changed(DONE, {"dates.installed": None})
    told = {box.label: box.value for box in boxes_of(undone, TODAY)}
    assert told["Date(s) tested"] is told["Commissioning date"] is None


def test_nothing_is_typed_twice():
    typed = Counter(at(DONE, path) for path in entries()
                    if isinstance(at(DONE, path), str | tuple) and typing.get_origin(bare(leaves()[pattern_of(path)]))
                    is not typing.Literal and pattern_of(path) != "tests.instruments[].used_for")  # fmt: skip
    # "None" is an answer to two questions; a load may be called by its purpose.
    assert [text for text, count in typed.items() if count > 1] == ["none"]


def test_what_the_record_has_by_itself_is_no_entry():
    assert DONE.supply.declared_v == 230
    assert not is_entry(DONE, "supply.declared_v")
    assert is_entry(changed(DONE, {"supply.declared_v": 240.0}), "supply.declared_v")
    assert not coverage(Job(), boxes_of(Job(), TODAY)).entries


@pytest.mark.parametrize(("path", "owner"), [
    ("people[1].phone", "the firm"), ("people[0].phone", THIS_JOB), ("people[1].signature", DRAWN),
    ("people[0].signature", DRAWN),
    ("charge_point.made.serial", THIS_JOB), ("charge_point.made.model", "the maker's papers"),
    ("route[0].cable.size_mm2", "the design"), ("route[0].length_m", THIS_JOB), ("circuit.number", THIS_JOB),
])  # fmt: skip
def test_whose_an_entry_is(path, owner):
    assert whose(DONE, path) == owner


def test_an_empty_box_is_told_as_empty():
    found = coverage(*((job := changed(DONE, {"tests.r1r2_ohm": None})), boxes_of(job, TODAY)))
    assert {box.label for box in found.empty} == {"R1+R2 (or R2)", "Zs (measured or Ze+R1+R2)"}
    assert {box.owed_by for box in found.empty} == {"the inspector"}
