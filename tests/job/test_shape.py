"""The record's judge against pydantic's own TypeAdapter, which makes its schema by itself."""

import json

import pytest
from pydantic import ConfigDict, TypeAdapter, ValidationError
from pydantic_core import ValidationError as CoreError

from ampwright.job.record import Job
from ampwright.job.shape import judge

WITNESS = TypeAdapter(tuple[Job], config=ConfigDict(strict=True, extra="forbid"))
READING = {"low": 1.0, "high": 2.0, "because": "paced"}


@pytest.mark.parametrize(
    "job",
    [
        {},
        {"title": "x", "date": "2026-11-20", "people": [{"role": "customer", "address": ["a", "b"]}]},
        {"supply": {"phases": 3, "ze_ohm": READING, "cutout": {"rating_a": READING}}},
        {"route": [{"name": "a", "length_m": READING, "cable": {"size_mm2": 6, "cores_count": 3}}]},
        {"installation": {"loads": None, "half_hourly": {"months": [1, 2]}}},
    ],
)
def test_both_build_the_same_job(job):
    assert judge().validate_json(json.dumps(job)) == WITNESS.validate_json(json.dumps([job]))[0]


@pytest.mark.parametrize(
    "job",
    [
        {"titel": "x"},
        {"title": 3},
        {"date": "yesterday"},
        {"installation": {"loads": [{"name": "x"}]}},
        {"people": {"role": "customer"}},
        {"supply": {"phases": 2, "looped": "yes"}},
        {"supply": {"ze_ohm": {"low": 1.0}}},
        {"supply": {"ze_ohm": {"low": "1", "high": 2.0}}},
        {"supply": {"ze_ohm": {"low": 3.0, "high": 2.0}}},
        {"route": [{"name": "a", "cable": {"size_mm2": "6"}}, {"nam": "b"}]},
        [],
        None,
    ],
)
def test_both_refuse_in_the_same_places(job):
    with pytest.raises(CoreError) as ours:
        judge().validate_json(json.dumps(job))
    with pytest.raises(ValidationError) as theirs:
        WITNESS.validate_json(json.dumps([job]))
    places = sorted((error["loc"], error["type"]) for error in ours.value.errors())
    assert places == sorted((error["loc"][1:], error["type"]) for error in theirs.value.errors())
