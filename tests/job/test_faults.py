"""What a mistake in a job file is told, with its line, in the electrician's words."""

import os
import re

import pytest

from ampwright.job.files import BadJobFile, load, parse


def told(text, folder=None):
    """Every fault of a text, as printed."""
    with pytest.raises(BadJobFile) as caught:
        parse(text, folder)
    return [str(fault) for fault in caught.value.faults]


def test_all_faults_at_once_in_the_order_of_their_lines():
    text = """version: 2
site:
  listed: yes
  nation: Englnd
supply:
  earthng: TT
  earthing: TNCS
  ze_ohm: 0,21
route:
  - name: wall
    length_m: 6m
    cable: {size_mm2: -4}
    depth_m: {low: 3, high: 1, because: guess}
  - length_m: {low: 1, high: 3}
tests:
  date: 20/11/2026
"""
    assert told(text) == [
        "line 3: site.listed: 'yes' is not understood here; write true",
        "line 4: site.nation: 'Englnd' is not one of England, Scotland, Wales, Northern Ireland; did you mean England?",
        "line 6: supply.earthng: 'earthng' is not a field here; did you mean earthing?",
        "line 7: supply.earthing: 'TNCS' is not one of TN-C-S, TN-S, TT; did you mean TN-C-S?",
        "line 8: supply.ze_ohm: '0,21' is not a number; write 0.21",
        "line 11: route[0].length_m: '6m' has its unit typed in; write 6",
        "line 12: route[0].cable.size_mm2: -4 cannot be: a size is never negative",
        "line 13: route[0].depth_m: low (3) is above high (1); write them the other way round",
        "line 14: route[1].length_m: a range must say why it is one; add because: and your reason",
        "line 14: route[1].name: this must be given; without it nothing else here has a name or a place",
        "line 16: tests.date: '20/11/2026' is not a date; write 2026-11-20",
    ]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("supply: {ze_ohm: '0.2'}", "'0.2' stands in quotes; write 0.2"),
        ("supply: {ze_ohm: 0.2-0.4}", "'0.2-0.4' is a range; write {low: 0.2, high: 0.4, because: your reason}"),
        ("supply: {ze_ohm: .nan}", "cannot|reckoned"),
        ("supply: {ze_ohm: .inf}", "reckoned"),
        ("supply: {ze_ohm: 1e999}", "reckoned"),
        ("supply: {ze_ohm: 123456789}", "too large; it lies between 0 and 10000"),
        ("supply: {ze_ohm: -3}", "-3 cannot be: a resistance is never negative"),
        ("supply: {ze_ohm: true}", "true is not a number"),
        ("supply: {ze_ohm: [1, 2]}", "a list is not a number"),
        ("supply: {ze_ohm: {}}", "low and high not given"),
        ("supply: {ze_ohm: {value: 1, low: 2}}", "not both"),
        ("supply: {ze_ohm: {value: 1, wth: x}}", "did you mean with?"),
        ("supply: {ze_ohm: {value: 1, when: 31/02/2026}}", "a day that no calendar has"),
        ("supply: {ze_ohm: {value: 1, because: 5}}", "put it in quotes"),
        ("supply: {ze_ohm: {low: 1, high: 2, because: ''}}", "must say why"),
        ("supply: {ze_ohm: {low: 1, high: 2, because: old, not read}}", "have a comma in them in quotes"),
        ("supply: {ze_ohm: {low: 18,5, high: 20, because: x}}", "write 18.5 and not 18,5"),
        ("supply: {phases: 2}", "2 is not one of 1, 3"),
        ("supply: {phases: '3'}", "'3' is not one of 1, 3; write 3 without quotes"),
        ("supply: {earthing: {a: 1}}", "a group of fields stands where one value is wanted"),
        ("route: [{name: a, method: c}]", "'c' is not one of A, B, C, D, E, F, 100, 101, 102, 103; did you mean C?"),
        ("route: [{name: a, method: D1}]", "did you mean D?"),
        ("route: [{name: a, method: Method C}]", "did you mean C?"),
        ("route: [{name: a, method: method 101}]", "did you mean 101?"),
        ("route: [{name: a, method: 104}]", "104 is not one of A"),
        ("supply: {tails: {method: clipped}}", "'clipped' is not one of A"),
        ("supply: TT", "'TT' stands where fields are wanted; below this come phases"),
        ("supply: {declared_v: 24}", "24 is too small; it lies between 100 and 260"),
        ("supply: {declared_v: 240 V}", "'240 V' has its unit typed in; write 240"),
        ("site: {mpan: 1012345678903}", "put the MPAN in quotes"),
        ("site: {mpan: '1012345678904'}", "re-read the digits"),
        ("site: {postcode: 12345}", "12345 is read as a number; put it in quotes"),
        ("site: {address: 1 Example Road}", "is not a list"),
        ("site: {address: [1 Example Road, 7]}", "7 is read as a number"),
        ("site: {listed: 'true'}", "write true"),
        ("site: {listed: maybe}", "write true or false"),
        ("site: {ze_ohm: 1}", "it belongs at supply.ze_ohm"),
        ("site: {colour: red}", "the fields here are address, postcode"),
        ("route: {name: a}", "a group of fields is not a list"),
        ("date: tomorrow", "write year-month-day, as in 2026-11-20"),
        ("date: 2026-02-30", "is not a date"),
        ("version: 9", "this file is of version 9 and this Ampwright reads up to 2"),
        ("version: two", "the version is a whole number; write 2"),
        ("version: 0", "there is no version 0"),
        ("version: true", "the version is a whole number"),
        ("", "the file is empty"),
        ("# nothing but a remark", "the file is empty"),
        ("- a\n- b", "a job file is a list of fields"),
        ("just words", "a job file is a list of fields"),
        ("title: a: b", "a colon stands where none may"),
        ("site:\n\tlisted: true", "line 2: a tab stands here; indent with spaces"),
        ("title: 'open", "never closed"),
        ("site: {listed: true", "a bracket is not closed"),
        ("title: a\ntitle: b", "line 2: 'title' is written twice, first in line 1; keep one"),
        ("title: &a x\nreference: *a", "line 2: '\\*a' repeats something by name"),
        ("title: !!python/object:os.system x", "exclamation mark"),
        ("title: !mine x", "exclamation mark"),
        ("<<: {title: x}", "'<<' is not a field here"),
        ("title: a\n---\ntitle: b", "line 2: a second document begins here"),
        ("title: " + "[" * 21 + "]" * 21, "nested deeper than 20"),
        ("title: \x00", "a sign that no text has"),
        ('title: "\\q"', "backslash"),
        ('title: "\\ud800"', "backslash"),
        ('title: "\\UFFFFFFFF"', "backslash"),
        ("title: @x", "goes in quotes"),
        ("installation: {loads: [{name: A}]}", "installation.loads\\[0\\].purpose: this must be given"),
        ("installation: {half_hourly: {months: [0, 13, 1.5]}}", "months\\[1\\]: 13 is too large"),
    ],
)
def test_a_mistake_is_told_in_words(text, says):
    found = "\n".join(told(text))
    assert re.search(says if "\\" in says or "|" in says else re.escape(says), found), found


def test_the_mpan_and_the_readings_are_told_with_the_rest(tmp_path):
    text = "site: {mpan: '2312345678901'}\ninstallation: {half_hourly: {csv: none.csv}}\nsupply: {earthng: TT}\n"
    assert [each.split(":")[0] for each in told(text, tmp_path)] == ["line 1", "line 2", "line 3"]


def test_one_value_is_complained_of_once():
    assert len(told("version: 2\nsupply: {ze_ohm: 6mm}")) == 1
    assert len(told("version: 2\nroute: [{name: .nan}]")) == 1


def test_only_the_first_fifty_are_printed():
    with pytest.raises(BadJobFile) as caught:
        parse("version: 2\n" + "".join(f"key{number}: 1\n" for number in range(60)))
    assert len(caught.value.faults) == 60
    assert str(caught.value).endswith("\nand 10 more")
    assert len(str(caught.value).splitlines()) == 51


def test_a_long_list_is_no_job():
    assert "more than 20000 values" in told("version: 2\nsite:\n  address: [" + "a," * 20_001 + "]")[-1]


def test_two_fields_that_cannot_both_be_true():
    text = """version: 2
charge_point:
  rated_a: 32
  set_a: 40
circuit:
  device: {kind: rcbo}
  rcd:
    fitted: false
"""
    assert told(text) == [
        "line 4: charge_point.set_a: the setting, 40 A, is above the rating, 32 A; correct whichever is wrong",
        "line 8: circuit.rcd.fitted: an RCBO has an RCD inside; write true and describe it here, or write kind: mcb",
    ]


@pytest.mark.parametrize(
    "text",
    ["charge_point: {rated_a: 32, set_a: 32}", "charge_point: {set_a: 40}", "circuit: {device: {kind: rcbo}}",
     "circuit: {device: {kind: mcb}, rcd: {fitted: false}}", "circuit: {device: {kind: rcbo}, rcd: {fitted: true}}"],
)  # fmt: skip
def test_fields_that_agree_are_let_in(text):
    assert parse(f"version: 2\n{text}").version == 2


@pytest.mark.parametrize("number", ["98765432101", "12345678901"])
def test_northern_ireland_has_a_number_of_eleven_digits(number):
    assert parse(f"site: {{nation: Northern Ireland, mpan: '{number}'}}").site.mpan == number
    assert "13 digits" in told(f"site: {{nation: England, mpan: '{number}'}}")[0]


@pytest.mark.parametrize(
    ("held", "says"),
    [
        (b"\xff\xfev\x00", "line 1: this is not UTF-8 text"),
        (b"version: 2\ntitle: caf\xe9\n", "line 2: this is not UTF-8 text"),
        (b"\x00\x01\x02", "this may not be a text file"),
        (b"a" * (1024 * 1024 + 1), "over 1 MiB"),
        (b"", "the file is empty"),
    ],
)
def test_a_file_that_is_no_text(held, says, tmp_path):
    path = tmp_path / "job.yaml"
    path.write_bytes(held)
    with pytest.raises(BadJobFile) as caught:
        load(path)
    assert says in str(caught.value)
    assert str(caught.value).startswith(f"{path} cannot be read as a job:")
    assert path.read_bytes() == held


def test_a_mark_at_the_front_is_no_harm(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_bytes(b"\xef\xbb\xbfversion: 2\r\ntitle: x\r\n")
    assert load(path).title == "x"


def test_no_file_a_folder_a_name_too_long(tmp_path):
    for path, says in [(tmp_path, "this is a folder"), (tmp_path / "none.yaml", "there is no such file"),
                       (tmp_path / "no" / "job.yaml", "there is no such file"),
                       (tmp_path / ("x" * 5000), "cannot be opened")]:  # fmt: skip
        with pytest.raises(BadJobFile, match=says):
            load(path)


def test_a_pipe_is_no_file(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(BadJobFile, match="not a plain file"):
        load(tmp_path / "pipe")


def test_a_file_that_may_not_be_read(tmp_path, monkeypatch):
    path = tmp_path / "job.yaml"
    path.write_text("version: 2", encoding="utf-8")

    def refused(*_, **__):
        raise PermissionError

    monkeypatch.setattr(type(path), "open", refused)
    with pytest.raises(BadJobFile, match="may not be read"):
        load(path)
