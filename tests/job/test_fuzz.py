"""Hostile and broken files: always BadJobFile in plain words, never a changed file, never anything else."""

import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jobs import house

from ampwright.job.fields import fields
from ampwright.job.files import BadJobFile, dump, load

JARGON = re.compile(
    r"Traceback|Input should|type=|pydantic|ruamel|YAMLError|\bNoneType\b|\bdict\b|\bstr\b|\btuple\b|dataclass|"
    r"Error\b|literal|validat|scalar|\bnode\b|token|unicode string|instance of|<class|\bNone\b|Exception"
)
BOMB = "a: &a [x,x,x,x,x,x,x,x,x]\n" + "".join(
    f"{name}: &{name} [{','.join([f'*{before}'] * 9)}]\n" for before, name in zip("abcdefgh", "bcdefghi", strict=True)
)
HOSTILE: dict[str, str | bytes] = {
    "bomb": BOMB,
    "one big alias": "title: &t " + "x" * 1000 + "\n" + "".join(f"k{n}: *t\n" for n in range(500)),
    "itself": "&a [*a]",
    "merge": "a: &a {title: x}\n<<: *a",
    "tag": "title: !!python/object/apply:os.system ['echo x']",
    "binary tag": "title: !!binary aGVsbG8=",
    "deep flow": "[" * 100_000,
    "deep maps": "{a: " * 50_000,
    "deep block": "".join(" " * n + "a:\n" for n in range(300)),
    "two MiB": "title: " + "x" * (2 * 1024 * 1024),
    "many keys": "".join(f"key{n}: 1\n" for n in range(25_000)),
    "nan": "supply: {ze_ohm: .nan, declared_v: .NaN}",
    "infinite": "supply: {ze_ohm: .inf, pfc_ka: -.inf, declared_v: 1e999}",
    "long number": "supply: {ze_ohm: " + "9" * 5000 + "}",
    "long whole version": "version: " + "9" * 5000,
    "version infinite": "version: .inf",
    "negative": "route: [{name: a, length_m: -1, cable: {size_mm2: -6}}]",
    "comma": "route: [{name: a, length_m: '18,5'}]",
    "unit": "route: [{name: a, cable: {size_mm2: 6mm2}}]",
    "nulls": "version:\nsite:\nsupply:\nroute: [null, null]\npeople: [{role: null}]",
    "null list": "route: [~]\nvehicles: [{}]\nsensors: [[]]",
    "turned round": "site: []\nroute: {}\npeople: x\nsupply: 5\ncircuit: true\ntitle: {a: b}",
    "key of keys": "? {a: b}\n: c",
    "key list": "? [a]\n: c",
    "bad directive": "%YAML 99.99\n---\ntitle: x",
    "unknown directive": "%FOO bar\n---\ntitle: [",
    "tag directive": "%TAG ! tag:x,2000:\n---\ntitle: !a b",
    "escape": 'title: "\\UFFFFFFFF"',
    "half sign": 'title: "\\ud83d"',
    "short escape": 'title: "\\x4"',
    "tabs": "site:\n\t\tlisted: true",
    "block": "title: |9\n x",
    "block sign": "title: >x\n y",
    "many documents": "---\ntitle: x\n---\ntitle: y\n...",
    "anchor only": "title: &\n",
    "alias only": "title: *\n",
    "alias key": "*a : b",
    "odd key": "'route[0].length_m': 3\n'a.b.c': 4\n'': 5",
    "long key": "x" * 900 + ": 1",
    "very long key": "? " + "x" * 5000 + "\n: 1",
    "format": "title: {%s}{0}{}\nsupply: '%d {0.__class__}'",
    "date": "date: 0000-00-00\ntests: {date: 99999-01-01}",
    "when": "supply: {ze_ohm: {value: 1, when: 2026-13-45}}",
    "csv path": "installation: {half_hourly: {csv: ../../../../etc/passwd}}",
    "csv device": "installation: {half_hourly: {csv: /dev/zero}}",
    "csv itself": "installation: {half_hourly: {csv: job.yaml}}",
    "csv long": "installation: {half_hourly: {csv: " + "x" * 5000 + "}}",
    "wrong mpan": "site: {mpan: '١٢٣'}",
    "controls": "title: \x07\x1b[31m",
    "separators": "title: a\u2028b: c\u2029\x85: [",
    "lone surrogate bytes": b"title: \xed\xa0\x80",
    "utf-16": "version: 2".encode("utf-16"),
    "zeros": b"\x00" * 1000,
    "all bytes": bytes(range(256)),
    "zip": b"PK\x03\x04\x14\x00",
    "empty": b"",
    "spaces": "   \n  \n",
    "text": "dear sir",
    "number": "5",
    "quote": '"',
    "open": "title: [a, {b: 'c",
}


def outcome(path, held):
    """Load a file; return the words of its faults, or None where it is a job."""
    path.write_bytes(held)
    told = None
    try:
        load(path)
    except BadJobFile as bad:
        told = bad
    assert path.read_bytes() == held
    if told is None:
        return None
    assert told.faults
    assert all(fault.says for fault in told.faults)
    assert len(str(told)) < 20_000
    return "\n".join(fault.says for fault in told.faults)


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_in_plain_words(name, tmp_path):
    held = HOSTILE[name]
    words = outcome(tmp_path / "job.yaml", held.encode() if isinstance(held, str) else held)
    assert words is not None
    assert not JARGON.search(words), words


NAMES = ["low", "high", "because", "value", "with", "when", "name", "fitted", "odd"]
VALUES = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.integers(), st.floats(),
        st.sampled_from(["", "6mm", "18,5", "yes", "1-2", "TNCS", "~"]),
        st.text("abcXYZ 0123456789.,:-/'éΩ", max_size=12),
    ),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(NAMES), inner, max_size=4),
    max_leaves=6,
)  # fmt: skip


def as_yaml(value):
    """A value in flow style, written by the test's own hand."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{name}: {as_yaml(inner)}" for name, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(as_yaml(inner) for inner in value) + "]"
    if isinstance(value, str):
        return "'" + value.replace("'", "''") + "'"
    if value is None or isinstance(value, bool):
        return {True: "true", False: "false", None: "null"}[value]
    return f".{value}" if value == float("inf") or value != value else str(value)


def at_path(path, value):
    """A file with one value, as YAML flow text, at a path pattern."""
    text = as_yaml(value)
    for part in reversed(path.split(".")):
        text = f"{{{part[:-2]}: [{text}]}}" if part.endswith("[]") else f"{{{part}: {text}}}"
    return text


@settings(max_examples=300, deadline=None, suppress_health_check=list(HealthCheck))
@given(path=st.sampled_from(sorted(fields())), value=VALUES)
def test_any_value_at_any_field(path, value, tmp_path_factory):
    folder = tmp_path_factory.getbasetemp()
    words = outcome(folder / "job.yaml", at_path(path, value).encode())
    assert words is None or not JARGON.search(words), words


@settings(max_examples=200, deadline=None, suppress_health_check=list(HealthCheck))
@given(held=st.binary(max_size=300))
def test_any_bytes(held, tmp_path_factory):
    words = outcome(tmp_path_factory.getbasetemp() / "job.yaml", held)
    assert words is None or not JARGON.search(words), words


@settings(max_examples=200, deadline=None, suppress_health_check=list(HealthCheck))
@given(text=st.text("ab:-[]{}&*!|>'\"%@`#,? \n\t\\~.0123456789", max_size=60))
def test_any_punctuation(text, tmp_path_factory):
    words = outcome(tmp_path_factory.getbasetemp() / "job.yaml", text.encode())
    assert words is None or not JARGON.search(words), words


GOOD = dump(house()).encode()


@settings(max_examples=200, deadline=None, suppress_health_check=list(HealthCheck))
@given(place=st.integers(0, len(GOOD) - 1), cut=st.integers(0, 12), put=st.binary(max_size=6))
def test_a_good_file_with_a_piece_spoilt(place, cut, put, tmp_path_factory):
    held = GOOD[:place] + put + GOOD[place + cut :]
    words = outcome(tmp_path_factory.getbasetemp() / "job.yaml", held)
    assert words is None or not JARGON.search(words), words


def test_every_leaf_null_is_a_job_or_told(tmp_path):
    for path in fields():
        words = outcome(tmp_path / "job.yaml", at_path(path, None).encode())
        assert words is None or "must be given" in words or "nothing is" in words, (path, words)


def test_the_search_for_jargon_can_find_some():
    assert JARGON.search("Input should be a valid number [type=float_type]")
    assert JARGON.search("while scanning a plain scalar")
