"""Paths into the record."""

import pytest

from ampwright.job.paths import at, loose, pattern_of, replaced, spread, unseen
from ampwright.job.record import Cable, Job, Section, Supply
from ampwright.reading import assumed, measured

JOB = Job(
    supply=Supply(ze_ohm=assumed(0.1, 0.35, "declared")),
    route=(Section(name="a", cable=Cable(size_mm2=6), length_m=measured(4)), Section(name="b")),
)


def test_a_pattern_stands_for_every_section():
    assert spread(JOB, "route[].length_m") == ("route[0].length_m", "route[1].length_m")
    assert spread(Job(), "route[].length_m") == ("route",)
    assert pattern_of("route[1].cable.size_mm2") == "route[].cable.size_mm2"


def test_unseen_and_loose():
    patterns = ("supply.ze_ohm", "route[].length_m", "vehicles[].battery_kwh")
    assert unseen(JOB, patterns) == ("route[1].length_m", "vehicles")
    assert loose(JOB, patterns[:2]) == ("supply.ze_ohm",)


def test_replaced_leaves_the_old_job_alone():
    changed = replaced(JOB, "route[0].cable.size_mm2", 10.0)
    assert at(changed, "route[0].cable.size_mm2") == 10.0
    assert at(JOB, "route[0].cable.size_mm2") == 6
    assert changed.route[1] is JOB.route[1]


@pytest.mark.parametrize("path", ["supply.zee", "supply-ze", "route[9].length_m"])
def test_a_path_that_is_not_there(path):
    with pytest.raises((AttributeError, IndexError)):
        at(JOB, path)
