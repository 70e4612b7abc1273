"""The same job changed in two places that did not see each other's changes."""

import pytest

from ampwright.deliver.store.store import CannotUndo
from ampwright.job.files import BadJobFile
from ampwright.reading import measured


def test_different_fields_merge(desk):
    base = desk.head()
    desk.change({"supply.ze_ohm": 0.28}, base=base)
    outcome = desk.change({"supply.looped": False, "route[0].length_m": 9}, base=base)

    assert outcome.held == ()
    assert (desk.at("supply.ze_ohm"), desk.at("supply.looped")) == (measured(0.28), False)
    assert desk.at("route[0].length_m") == measured(9)


def test_the_same_field_is_held_back_and_shown_with_both_values(desk):
    base = desk.head()
    desk.change({"supply.ze_ohm": 0.28}, base=base)
    outcome = desk.change({"supply.ze_ohm": 0.34, "supply.looped": False}, base=base, who="Ben")

    assert [each.path for each in outcome.taken] == ["supply.looped"]
    assert desk.at("supply.ze_ohm") == measured(0.28)
    (conflict,) = desk.store.open_conflicts(desk.job)
    assert (conflict.path, conflict.old, conflict.new) == ("supply.ze_ohm", 0.28, 0.34)


@pytest.mark.parametrize(("keep_held", "value"), [(True, 0.34), (False, 0.28)])
def test_a_person_decides_and_the_decision_is_kept(desk, keep_held, value):
    base = desk.head()
    desk.change({"supply.ze_ohm": 0.28}, base=base)
    (held,) = desk.change({"supply.ze_ohm": 0.34}, base=base).held
    desk.settle(held.seq, keep_held=keep_held)

    assert desk.at("supply.ze_ohm") == measured(value)
    assert desk.store.open_conflicts(desk.job) == ()
    with pytest.raises(CannotUndo, match="decided before"):
        desk.settle(held.seq, keep_held=keep_held)


def test_the_same_value_in_both_places_is_no_conflict(desk):
    base = desk.head()
    desk.change({"supply.ze_ohm": 0.28}, base=base)
    assert desk.change({"supply.ze_ohm": {"value": 0.28}}, base=base).held == ()


def test_a_list_and_something_inside_it_are_one_place(desk):
    base = desk.head()
    desk.change({"route": desk.store.values(desk.job)["route"][:1]}, base=base)
    (held,) = desk.change({"route[1].length_m": 4}, base=base).held

    assert held.path == "route[1].length_m"
    assert len(desk.at("route")) == 1


def test_what_cannot_stand_together_is_held_though_the_fields_differ(desk):
    # a setting above the rating is refused at the door; each of these two alone is right
    base = desk.head()
    desk.change({"charge_point.rated_a": 16}, base=base)
    (held,) = desk.change({"charge_point.set_a": 32}, base=base).held

    assert held.path == "charge_point.set_a"
    assert desk.at("charge_point.set_a") is None
    with pytest.raises(BadJobFile, match="above the rating"):
        desk.settle(held.seq, keep_held=True)
    assert len(desk.store.open_conflicts(desk.job)) == 1


def test_what_was_wrong_on_its_own_base_is_refused_and_not_held(desk):
    base = desk.head()
    desk.change({"supply.ze_ohm": 0.28}, base=base)
    with pytest.raises(BadJobFile):
        desk.change({"supply.ze_ohm": -3}, base=base)
    assert desk.store.open_conflicts(desk.job) == ()


def test_a_list_rewritten_and_a_field_inside_it_conflict_though_both_would_stand(desk):
    base = desk.head()
    route = desk.store.values(desk.job)["route"]
    desk.change({"route": [{**route[0], "length_m": 8}, route[1]]}, base=base)
    (held,) = desk.change({"route[1].length_m": 4}, base=base).held

    assert held.path == "route[1].length_m"
    assert desk.at("route[0].length_m") == measured(8)


def test_one_more_of_a_list_from_two_places_is_two_more(desk):
    base = desk.head()
    many = len(desk.at("route"))
    first = desk.change({"route[]": {"name": "attic", "length_m": 2}}, base=base)
    second = desk.change({"route[]": {"name": "porch", "length_m": 3}}, base=base, operation="porch")

    assert first.held == second.held == ()
    assert [each.name for each in desk.at("route")][many:] == ["attic", "porch"]
    again = desk.change({"route[]": {"name": "porch", "length_m": 3}}, base=base, operation="porch")
    assert [each.path for each in again.taken] == [f"route[{many + 1}]"]
    assert len(desk.at("route")) == many + 2


def test_one_more_of_what_is_no_list_is_refused(desk):
    for path in ("supply.ze_ohm[]", "nothing[]", "[]"):
        with pytest.raises(BadJobFile):
            desk.change({path: 1})
