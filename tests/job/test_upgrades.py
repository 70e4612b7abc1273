"""A file of version 1 is read as if it had been written today; a newer one is refused."""

import pytest

from ampwright.job.files import BadJobFile, dump, parse
from ampwright.job.record import Cable, Circuit, Cutout, Device, Job, Section, Supply
from ampwright.reading import Reading, measured

OLD = """title: an old job
supply:
  earthing: TT
  fuse_a: 80
  fuse_known_by: operator's record
circuit:
  mcb: B32
cable_length_m: {low: 20, high: 24, because: paced}
cable_mm2: 6
"""
NEW = Job(
    title="an old job",
    supply=Supply(earthing="TT", cutout=Cutout(rating_a=measured(80), rating_known_by="operator's record")),
    circuit=Circuit(device=Device(kind="mcb", curve="B", rating_a=32)),
    route=(Section(name="whole route", length_m=Reading(20, 24, "paced"), cable=Cable(size_mm2=6)),),
)


@pytest.mark.parametrize("text", [OLD, "version: 1\n" + OLD])
def test_version_1_is_brought_up(text):
    assert parse(text) == NEW
    assert parse(dump(parse(text))) == NEW


def told(text):
    with pytest.raises(BadJobFile) as caught:
        parse(text)
    return [str(each) for each in caught.value.faults]


def test_lines_still_point_into_the_old_file():
    text = OLD.replace("80", "80A").replace("high: 24", "high: 14").replace("mm2: 6", "mm2: 6mm").replace("B32", "32B")
    assert told(text) == [
        "line 4: supply.cutout.rating_a: '80A' has its unit typed in; write 80",
        "line 7: circuit.mcb: '32B' is not understood; write the curve and the rating, as in B32",
        "line 8: route[0].length_m: low (20) is above high (14); write them the other way round",
        "line 9: route[0].cable.size_mm2: '6mm' has its unit typed in; write 6",
    ]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (OLD + "route: [{name: a}]\n", "both for the whole route and stretch by stretch"),
        ("supply: {fuse_a: 80, cutout: {rating_a: 60}}", "given twice, here and as supply.cutout.rating_a"),
        ("version: 2\n" + OLD, "supply.fuse_a: 'fuse_a' is not a field here"),
        ("version: 3\n" + OLD, "bring Ampwright up to date"),
        ("supply: {fuse_a: 80, cutout: 5}", "stands where fields are wanted"),
        ("circuit: {mcb: [1]}", "as in B32"),
        ("supply: 5\ncircuit: []\nroute: {}\ncable_mm2: []", "stands where fields are wanted"),
    ],
)
def test_what_cannot_be_brought_up(text, says):
    assert says in "\n".join(told(text))


def test_nothing_old_in_it_is_fine_without_a_version():
    assert parse("title: x") == Job(title="x")
    assert parse("supply: {fuse_a: }\ncircuit: {mcb: }") == Job()
