"""What is said of a file that is not a catalogue: every fault at once, each with its line, in plain words."""

import pytest
from catalogues import CABLE, written

from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.user_csv import BadTable


def faults_of(text):
    with pytest.raises(BadTable) as caught:
        read_catalogue(text)
    return [str(each) for each in caught.value.faults]


FAULTS = [
    ({"board": {"id": ""}}, "line 10: id: this is empty; every choice needs a short name and its words"),
    ({"board": {"words": ""}}, "line 10: words: this is empty; every choice needs a short name and its words"),
    ({"board": {"pence": "-5"}}, "line 10: pence: '-5' is below nothing; pence are wanted, net of VAT"),
    ({"board": {"pence": "£12"}},
     "line 10: pence: '£12' is not a number; write digits alone; pence are wanted, net of VAT"),
    ({"board": {"minutes": "1.5"}}, "line 10: minutes: '1.5' is not a whole number of minutes; minutes are wanted"),
    ({"board": {"pence": "9" * 5000}}, "is too large; pence are wanted, net of VAT"),
    ({"board": {"sets": "circuit.device.ratng_a=32"}},
     "'circuit.device.ratng_a' is not a field of the record; did you mean circuit.device.rating_a?"),
    ({"board": {"sets": "circuit.rcd"}},
     "'circuit.rcd' is not understood; write path=value, with ; between two of them"),
    ({"board": {"sets": "supply.ze_ohm=0.1"}}, "supply.ze_ohm is found out on site and not chosen"),
    ({"board": {"sets": "electrode.measured_ohm=20"}}, "electrode.measured_ohm is found out on site and not chosen"),
    ({"board": {"sets": "installation.spare_way=yes"}}, "'yes' is not understood here; write true"),
    ({"board": {"sets": "circuit.device.kind=rcb"}}, "is not one of mcb, rcbo, bs88_2, bs88_3, bs1361, bs3036, bs1362"),
    ({"board": {"sets": "charge_point.phases=2"}}, "charge_point.phases: '2' is not one of 1, 3"),
    ({"board": {"sets": "charge_point.line=none"}}, "charge_point.line: 'none' is not one of L1, L2, L3, all"),
    ({"board": {"sets": "circuit.device.breaking_ka=6 kA"}}, "'6 kA' has its unit typed in; write 6"),
    ({"board": {"sets": "circuit.device.breaking_ka=6000"}}, "6000 is too large; it lies between 0.5 and 150"),
    ({"board": {"sets": "installation.loads[].power_w=2"}}, "is a list or stands in one: a choice cannot speak of it"),
    ({"board": {"sets": "circuit.terminals_c=70; circuit.terminals_c=90"}},
     "circuit.terminals_c is set twice in this row"),
    ({"board": {"sets": "route[].method=B"}}, "only a row of axis cable may speak of it"),
    ({"board": {"sets": "charge_point.set_a=20"}}, "charge_point.set_a is set by axis charging already, on line 4"),
    ({"board": {"pence_per_end": "5"}}, "line 10: pence_per_end: only a cable has terminations"),
    ({"board": {"offered_where": "supply.phases"}},
     "'supply.phases' is not understood; write path=value, or != < > in place of ="),
    ({"board": {"offered_where": "supply.earthing<TT"}}, "supply.earthing: < and > compare one number with another"),
    ({"board": {"offered_where": "supply.ze_ohm=none"}},
     "what nobody looked at always counts as offered; ask for a value"),
    ({"board": {"offered_where": "supply.earthing=TNS"}}, "is not one of TN-C-S, TN-S, TT; did you mean TN-S?"),
    ({"board": {"note": "a\tb"}}, "line 10: note: this holds a sign that cannot be printed"),
    ({"cable": {"sets": CABLE.replace("route[].cable.cpc_mm2=none; ", "")}},
     "line 11: sets: a cable must say all of itself; route[].cable.cpc_mm2 not given"),
    ({"cable": {"sets": f"{CABLE}; circuit.terminals_c=90"}}, "a cable may set only route[]. fields"),
    *[({"cable": {"sets": CABLE.replace(was, now)}}, says) for was, now, says in (
        ("kind=armoured_90c", "kind=none", "a cable must say its kind; route[].cable.kind cannot be none"),
        ("size_mm2=6", "size_mm2=none", "a cable must say its size; route[].cable.size_mm2 cannot be none"),
        ("cpc=core", "cpc=none", "a cable must say what its earth is; route[].cable.cpc cannot be none"),
        ("cores_count=3", "cores_count=none", "an armoured cable must say how many cores it has"),
        ("kind=armoured_90c", "kind=singles_70c", "single cores must say the size of their earth"),
        ("data=false", "data=false; route[].method=D", "a cable does not bury a stretch"),
        ("data=false", "data=false; route[].method=B", "this is laid by method B and would be had where"),
        ("data=false", "data=false; route[].method=none", "route[].method cannot be none"))],
    ({"cable": {"sets": CABLE.replace("armoured_90c", "multicore_70c").replace("cpc=core", "cpc=armour")}},
     "this kind of cable has no armour that could be its earth"),
    ({"labour": {"pence": ""}}, "line 2: pence: the price of an hour is wanted here"),
    ({"labour": {"minutes": "60"}}, "line 2: minutes: labour has only the price of an hour"),
    ({"joint": {"pence_per_m": "3"}}, "line 12: pence_per_m: nothing is counted by the metre in axis joint"),
    ({"always": {"sets": "circuit.terminals_c=70"}}, "a row of axis always is a cost and fixes nothing in the record"),
    ({"always": {"offered_where": "supply.phases=3"}}, "a row of axis always is had on every job; leave this empty"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "says"), FAULTS, ids=[says for _, says in FAULTS])
def test_each_fault_is_told_once_in_plain_words(changes, says):
    told = faults_of(written(changes))
    assert len(told) == 1
    assert says in told[0]


def test_an_axis_without_a_row_and_a_name_that_stands_twice_are_told():
    assert faults_of(written({"board": {"axis": "bord"}})) == [
        "there is no row of axis board", "line 10: axis: 'bord' is no axis; did you mean board?"
    ]  # fmt: skip
    assert "the axes are labour, always" in faults_of(written({"board": {"axis": "zzz"}}))[1]
    assert faults_of(written(leave=("labour",))) == ["there is no row of axis labour"]
    assert faults_of(written(more=[("board", {"id": "row 10"})])) == [
        "line 15: id: 'row 10' stands already on line 10 in this axis"
    ]
    assert faults_of(written(more=[("labour", {"pence": "3000"})])) == [
        "line 15: axis: labour has one row, and that is line 2"
    ]


def test_all_faults_come_at_once_in_the_order_of_their_lines():
    told = faults_of(written({"cable": {"pence_per_m": "x"}, "charging": {"sets": "charge_point.rated_a=x"},
                              "board": {"id": "", "minutes": "-1"}}))  # fmt: skip
    assert [each.split(":")[0] for each in told] == ["line 4", "line 10", "line 10", "line 11"]


def test_a_file_that_is_no_catalogue_is_told_so(tmp_path):
    assert "axis is missing" in faults_of("")[0]
    assert "'price' is none of them" in faults_of(written().replace("note", "price", 1))[0]
    assert faults_of(f"{written()}\nboard,another,as said, and more,,,,,,,,,")[0] == (
        "line 15: 13 cells stand here and 12 are wanted; put words that have a comma in them in double quotes"
    )
    assert "the double quotes up to here do not pair" in faults_of(f'{written()}\nboard,"another')[-1]
    away = tmp_path / "mine.csv"
    with pytest.raises(BadTable, match=r"mine\.csv cannot be read as a catalogue:\n  it cannot be opened"):
        read_catalogue(away)
    away.write_bytes(b"axis,id\xff\xfe")
    with pytest.raises(BadTable, match="this is not plain text"):
        read_catalogue(away)


def test_a_spreadsheet_s_marks_and_blank_lines_do_no_harm(tmp_path):
    away = tmp_path / "mine.csv"
    away.write_text("\ufeff" + written() + "\n" + "," * 11 + "\n\n", encoding="utf-8")
    assert read_catalogue(away) == read_catalogue(written())


def test_a_trench_wants_one_row_for_each_surface():
    lawn, drive = ({"id": each, "offered_where": f"route[].surface={each}"} for each in ("lawn", "concrete|tarmac"))
    told = faults_of(written({"trench": lawn}, more=[("trench", drive), ("trench", {**drive, "id": "again"})]))
    assert [each for each in told if "there is no trench for" in each] == [
        f"there is no trench for {each}: give it a row, or one row for every surface"
        for each in ("soil", "gravel", "paving")]  # fmt: skip
    assert sum("a trench for concrete stands already on line" in each for each in told) == 1
    assert sum("a trench for tarmac stands already on line" in each for each in told) == 1
    assert len(told) == 5


def test_one_trench_without_a_condition_is_for_every_surface():
    read_catalogue(written())


def test_a_trench_may_ask_for_its_surface_alone():
    told = faults_of(written({"trench": {"offered_where": "route[].method=D"}}))
    assert any("a row of axis trench is had on every job" in each for each in told)
