"""The published schema and the reader agree."""

import json

import pytest
from jobs import house
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

from ampwright.deliver.demo import JOBS, demo_files
from ampwright.job.fields import fields
from ampwright.job.files import BadJobFile, dump, parse, schema

JUDGE = Draft202012Validator(schema())


def plain(text):
    """YAML read by another road: the library's own constructor, with dates as text."""
    held = YAML(typ="safe", pure=True).load(text)
    return json.loads(json.dumps(held, default=str))


def test_it_is_a_schema_of_draft_2020_12():
    Draft202012Validator.check_schema(schema())
    assert schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert json.loads(json.dumps(schema())) == schema()


@pytest.mark.parametrize("name", JOBS)
def test_the_demo_jobs_keep_to_it(name):
    JUDGE.validate(plain(demo_files()[name]))


def test_a_whole_house_keeps_to_it():
    JUDGE.validate(plain(dump(house())))


def test_every_field_of_fields_csv_stands_in_it_with_its_words():
    def inside(shape, key):
        return next((each[key] for each in (shape, *shape.get("anyOf", ())) if key in each), {})

    def walk(shape, path=""):
        items = inside(shape, "items")
        if "description" in shape:
            yield path, shape["description"]
        elif "properties" in items:
            yield from walk(items, f"{path}[]")
        else:
            for name, inner in inside(shape, "properties").items():
                yield from walk(inner, f"{path}.{name}".lstrip("."))

    found = dict(walk(schema()))
    assert set(found) == set(fields())
    assert all(words.startswith(fields()[path].asks) for path, words in found.items())


BROKEN = [
    "supply: {ze_ohm: -1}", "supply: {ze_ohm: 99999}", "supply: {ze_ohm: '0.2'}", "supply: {ze_ohm: {low: 1, high: 2}}",
    "supply: {ze_ohm: {value: 1, low: 2}}", "supply: {ze_ohm: {value: 1, wth: x}}", "supply: {earthing: TNCS}",
    "supply: {phases: 2}", "supply: {earthng: TT}", "site: {listed: 'yes'}", "site: {mpan: 1012345678903}",
    "route: [{length_m: 3}]", "route: {name: a}", "installation: {loads: [{name: a}]}", "site: {address: a}",
    "title: 5",
    "installation: {half_hourly: {months: [13]}}", "date: 5", "electrode: {rods_count: 11}",
    "route: [{name: a, method: 104}]", "route: [{name: a, method: c}]",
]  # fmt: skip
SOUND = [
    "supply: {ze_ohm: 0.2}", "supply: {ze_ohm: }", "supply: {ze_ohm: {low: 1, high: 2, because: x}}", "site:",
    "supply: {ze_ohm: {value: 1, with: x, when: 2026-11-20, because: y}}", "people:", "installation: {loads: }",
    "supply: {metered: }", "route: [{name: a, through: [b]}]", "date: 2026-11-20", "installation: {loads: []}",
    "route: [{name: a, method: 100}]", "route: [{name: a, method: '100'}]",
]  # fmt: skip


@pytest.mark.parametrize("text", BROKEN)
def test_both_refuse(text):
    with pytest.raises(BadJobFile):
        parse(f"version: 2\n{text}")
    assert not JUDGE.is_valid(plain(f"version: 2\n{text}"))


@pytest.mark.parametrize("text", SOUND)
def test_both_accept(text):
    parse(f"version: 2\n{text}")
    assert JUDGE.is_valid(plain(f"version: 2\n{text}"))


def test_only_the_newest_version_is_published():
    assert not JUDGE.is_valid({"version": 1})
    assert not JUDGE.is_valid({})
