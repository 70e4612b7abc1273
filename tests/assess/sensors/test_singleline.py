"""The single-line as a tree: what each stretch carries, by Kirchhoff, and what cannot be drawn."""

import pytest
from sensing import home

from ampwright.assess.sensors.singleline import BadSingleLine, single_line
from ampwright.job.record import Circuit, Generation, Installation, Point, Storage
from ampwright.reading import measured

SPLIT = (
    Point(name="split", kind="split"),
    Point(name="main board", kind="board", fed_from="split"),
    Point(name="garage", kind="board", fed_from="split"),
)


def tree_of(points=SPLIT, car="garage", solar="main board", **more):
    return single_line(home(
        installation=Installation(points=points), circuit=Circuit(fed_from=car),
        generation=Generation(fitted=True, inverter_a=measured(16), fed_from=solar), **more,
    ))  # fmt: skip


def test_each_stretch_carries_what_lies_beyond_it():
    tree = tree_of()
    drawn = {("main board", "L1"): 1.0, ("garage", "L1"): 0.2, ("car", "L1"): 7.4, ("solar", "L1"): -3.0}
    # Kirchhoff at the split: 1.0 - 3.0 to the main board, 0.2 + 7.4 to the garage, 5.6 in all
    flows = {each.name: each.kw(drawn, "L1") for each in tree.stretches}
    assert flows["main board"] == pytest.approx(-2.0)
    assert flows["garage"] == pytest.approx(7.6)
    assert flows["supply"] == pytest.approx(5.6)
    assert flows["car cable"] == pytest.approx(7.4)
    assert flows["inverter cable"] == pytest.approx(-3.0)


def test_tails_with_nothing_branching_off_are_one_stretch():
    tree = single_line(home())
    assert [each.name for each in tree.stretches] == ["supply", "car cable", "inverter cable"]
    assert "nothing branching off" in tree.assumed[0]


def test_an_inverter_on_the_charge_points_circuit_shares_its_feed():
    generation = Generation(fitted=True, on_charge_point_circuit=True)
    tree = single_line(home(generation=generation))
    drawn = {("consumer unit", "L1"): 1.0, ("car", "L1"): 7.4, ("solar", "L1"): -3.0}
    assert tree.stretch("charge point circuit").kw(drawn, "L1") == pytest.approx(4.4)  # 7.4 - 3.0
    assert tree.stretch("car cable").kw(drawn, "L1") == pytest.approx(7.4)


def test_two_sets_of_tails_from_the_meter_are_counted():
    points = (Point(name="main board", kind="board"), Point(name="garage", kind="board"))
    assert tree_of(points=points).tails_count == 2
    assert tree_of().tails_count == 1


def test_all_that_is_wrong_is_said_at_once():
    points = (Point(name="a", kind="split", fed_from="b"), Point(name="a", kind="split", fed_from="attic"))
    with pytest.raises(BadSingleLine) as bad:
        tree_of(points=points, car="shed", solar="a", storage=Storage(fitted=True, fed_from="loft"))
    said = "\n".join(bad.value.faults)
    assert all(word in said for word in ("'a' stands twice", "attic", "shed", "loft", "no board"))


def test_what_feeds_itself_is_refused():
    points = (Point(name="a", kind="board", fed_from="b"), Point(name="b", kind="board", fed_from="a"))
    with pytest.raises(BadSingleLine, match="feeds itself"):
        tree_of(points=points, car="a", solar="b")
