"""A rule answers on any job that the record allows: whatever is missing, wide or odd, it never breaks."""

import dataclasses
import itertools
import typing

import pytest

from ampwright.deliver.demo import demo_files
from ampwright.job.files import parse
from ampwright.job.paths import at, replaced
from ampwright.job.record import Job
from ampwright.reading import Reading, assumed, measured
from ampwright.rules.gb.book import GB
from ampwright.working import Verdict

JOBS = {name: parse(text) for name, text in demo_files().items() if name.endswith(".yaml")}


def leaves(here, path=""):
    """Concrete path and declared type of every leaf of a job."""
    hints = typing.get_type_hints(type(here))
    for each in dataclasses.fields(here):
        value, below = getattr(here, each.name), f"{path}.{each.name}" if path else each.name
        if dataclasses.is_dataclass(value) and not isinstance(value, Reading):
            yield from leaves(value, below)
        elif isinstance(value, tuple) and value and dataclasses.is_dataclass(value[0]):
            for number, item in enumerate(value):
                yield from leaves(item, f"{below}[{number}]")
            yield below, hints[each.name]
        else:
            yield below, hints[each.name]


def swaps(value, hint):
    """Other values that the record allows in this place."""
    options = typing.get_args(hint)
    if type(None) in options:
        yield None
    for option in options:
        if typing.get_origin(option) is typing.Literal:
            yield from typing.get_args(option)
    if bool in options:
        yield from (True, False)
    if Reading in options:
        yield from (assumed(0.001, 100000, "anything"), measured(0), measured(1e6))
        if isinstance(value, Reading):
            yield assumed(min(value.low * 0.5, value.low * 2), max(value.high * 0.5, value.high * 2), "wide")
    if float in options or hint is float:
        yield from (0.5, 6.0, 1e6)
    if typing.get_origin(hint) is tuple:
        yield ()


def check(job):
    for finding in GB.judge(job):
        assert finding.says
        assert finding.verdict in Verdict
        assert all(at(job, path) is not ... for path in finding.needs)


@pytest.mark.parametrize("name", JOBS)
def test_every_field_can_be_missing_or_different(name):
    job = JOBS[name]
    for path, hint in leaves(job):
        for value in swaps(at(job, path), hint):
            try:
                check(replaced(job, path, value))
            except Exception as broke:
                raise AssertionError(f"{path} = {value!r}") from broke


def test_pairs_of_missing_fields():
    job = JOBS["house_with_garage.yaml"]
    gaps = [path for path, hint in leaves(job) if type(None) in typing.get_args(hint)]
    for first, second in itertools.islice(itertools.combinations(gaps, 2), 0, None, 61):
        check(replaced(replaced(job, first, None), second, None))


def test_an_empty_job_is_answered():
    findings = GB.judge(Job())
    assert {finding.verdict for finding in findings} <= {Verdict.NOT_YET_KNOWN, Verdict.DOES_NOT_APPLY,
                                                          Verdict.FOR_THE_DESIGNER}  # fmt: skip


@pytest.mark.parametrize("name", JOBS)
def test_a_missing_field_never_turns_a_refusal_into_a_yes(name):
    """Taking knowledge away may open a question; it may not answer yes where the answer was no."""
    job = JOBS[name]
    before = {finding.rule: finding.verdict for finding in GB.judge(job)}
    for path, hint in leaves(job):
        if type(None) not in typing.get_args(hint):
            continue
        for finding in GB.judge(replaced(job, path, None)):
            if before[finding.rule] is Verdict.NOT_MET:
                assert finding.verdict is not Verdict.MET, (path, finding.rule)
