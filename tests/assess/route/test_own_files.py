"""Efforts and bits of the user's own: what they change, and all that is wrong with a file at once."""

from importlib import resources

import pytest
from sketches import on, wall

from ampwright.assess.route.bits import Drilling, bits_for, read_bits, using_bits
from ampwright.assess.route.effort import efforts, read_efforts, using_efforts
from ampwright.assess.route.graph import graph_of
from ampwright.assess.route.search import best_ways
from ampwright.assess.user_csv import BadTable
from ampwright.job.sketch import Sketch

EFFORTS, BITS = (resources.files("ampwright.assess.route").joinpath(f"{each}.csv").read_text(encoding="utf-8")
                 for each in ("effort", "bits"))  # fmt: skip
HEAD = "kind,diameter_mm,usable_mm,bore_mm,note"


def said(read, text):
    with pytest.raises(BadTable) as bad:
        read(text)
    return [str(each) for each in bad.value.faults]


def test_own_efforts_are_what_a_way_costs():
    # one bare wall in the open air: 5.3 m and one bend; 8 min/m and 2 min as shipped, 11 min/m and 5 min of one's own
    places = (on("wall", "left", 1000, 1800), on("wall", "left", 5000, 500))

    def effort_min():
        graph = graph_of(Sketch(walls=(wall("wall", (0, 0), (6000, 0)),)), places)
        return best_ways(graph, graph.ends[0], graph.ends[1], 1)[0].effort_min

    assert effort_min() == pytest.approx(5.3 * 8 + 2)
    own = EFFORTS.replace("outside,8,", "outside,11,").replace("bend,2,", "bend,5,")
    with using_efforts(read_efforts(own)):
        assert effort_min() == pytest.approx(5.3 * 11 + 5)


def test_own_efforts_hold_within_and_no_longer():
    before = efforts()["bend"]
    with using_efforts(read_efforts(EFFORTS.replace("bend,2,", "bend,9,"))):
        assert efforts()["bend"] == 9
    assert efforts()["bend"] == before == 2


def test_own_bits_are_what_a_hole_is_drilled_with():
    own = read_bits(f"{HEAD}\npilot,6,300,,\npilot,12,1000,,\nfinal,22,450,,\nsleeve,22,,19,")
    with using_bits(own):
        assert bits_for(16, 300) == Drilling(22, 22, 450, 6, 300)
        assert bits_for(16, 450) == Drilling(22, 22, 450, 12, 1000)
        assert bits_for(16, 451) == Drilling(22, None, None, 12, 1000)
        assert bits_for(18.1, 300).sleeve_mm is None
    assert bits_for(16, 300).bit_mm == 25


def test_a_pilot_is_thinner_than_what_follows_it():
    with using_bits(read_bits(f"{HEAD}\npilot,25,400,,\nfinal,20,400,,\nsleeve,20,,16,")):
        assert bits_for(10, 300).pilot_mm is None


def test_every_fault_of_the_efforts_is_told_at_once():
    wrong = EFFORTS.replace("bend,2,", "bnd,2,").replace("fall,5,deg", "fall,50,mm").replace("depth,600", "depth,0")
    wrong = wrong.replace("inside,6,", "inside,six,") + "corner,50,mm,\n"
    assert said(read_efforts, wrong) == [
        "there is no row named bend",
        "line 2: value: 'six' will not do for inside; write a number from 0 to 10000 min/m",
        "line 16: name: 'bnd' is no effort that is known; did you mean bend?",
        "line 24: value: '0' will not do for depth; write a number from 0 to 20000 mm, above 0",
        "line 25: unit: 'mm' will not do: fall is in deg",
        "line 25: value: '50' will not do for fall; write a number from 0 to 30 deg",
        "line 29: name: 'corner' stands already on line 23",
    ]


def test_every_fault_of_the_bits_is_told_at_once():
    rows = ("final,25,,,", "auger,8,400,,", "sleeve,20,,20,", "sleeve,25,4,21,", "final,0,400,,", "final,20,400,,",
            "final,20,400,,")  # fmt: skip
    assert said(read_bits, "\n".join([HEAD, *rows])) == [
        "there is no row of kind pilot",
        "line 2: usable_mm: '' will not do; write millimetres above 0, at most 3000",
        "line 3: kind: 'auger' is none of pilot, final, sleeve",
        "line 4: bore_mm: a sleeve of 20 mm cannot be 20 mm wide inside",
        "line 5: usable_mm: a sleeve has none; leave this empty",
        "line 6: diameter_mm: '0' will not do; write millimetres above 0, at most 200",
        "line 8: the same stands already on line 7",
    ]


@pytest.mark.parametrize("text", ["", "name,value\n", "\x00", "a,b,c\n1,2,3\n"])
def test_what_is_no_such_file_is_refused(text):
    assert said(read_efforts, text)
    assert said(read_bits, text)
