import pytest

from ampwright.deliver.demo import demo_files
from ampwright.deliver.store.store import CannotUndo, NoSuchJob, OperationReused
from ampwright.job.files import BadJobFile, parse
from ampwright.reading import Reading, measured

YAML = [name for name in demo_files() if name.endswith(".yaml")]


@pytest.mark.parametrize("name", YAML)
def test_a_job_file_goes_in_and_comes_out_the_same_job(desk, name):
    text = demo_files()[name]
    job = desk.store.take_in(text, operation=name, who="Owner", origin="a file")

    assert desk.store.read(job)[0] == parse(text)
    again = desk.store.take_in(desk.store.give_out(job), operation="again", who="Owner", origin="a file")
    assert desk.store.read(again)[0] == parse(text)


def test_a_change_says_who_when_old_and_new(desk):
    desk.change({"supply.ze_ohm": {"value": 0.28, "with": "loop tester"}}, operation="a", who="Ann")

    told = desk.store.history(desk.job)[0]
    assert (told.id, told.who, told.origin) == ("a", "Ann", "the office")
    assert told.at.endswith("+00:00")
    (change,) = told.changes
    assert change.old["high"] == 0.35
    assert change.new == {"value": 0.28, "with": "loop tester"}
    assert desk.at("supply.ze_ohm") == measured(0.28, "loop tester")


def test_the_same_operation_twice_changes_once_and_answers_alike(desk):
    base = desk.head()
    first = desk.change({"supply.looped": True}, base=base, operation="a")
    again = desk.change({"supply.looped": True}, base=base, operation="a")

    assert again == first
    assert len(desk.store.history(desk.job)) == 2


def test_an_operation_id_with_other_contents_is_refused(desk):
    base = desk.head()
    desk.change({"supply.looped": True}, base=base, operation="a")
    with pytest.raises(OperationReused):
        desk.change({"supply.looped": False}, base=base, operation="a")
    assert desk.at("supply.looped") is True


def test_a_job_taken_in_twice_under_one_operation_is_one_job(desk):
    text = demo_files()["terrace.yaml"]
    assert desk.store.take_in(text, operation="first", who="Owner", origin="a file") == desk.job
    assert desk.store.names() == (desk.job,)


def test_all_faults_at_once_and_nothing_taken(desk):
    before = desk.store.values(desk.job)
    with pytest.raises(BadJobFile) as bad:
        desk.change({"supply.looped": "maybe", "supply.ze_ohm": -1, "circuit.rcd.poles": 2})
    assert {each.path for each in bad.value.faults} == {"supply.looped", "supply.ze_ohm"}
    assert desk.store.values(desk.job) == before


@pytest.mark.parametrize("path", ["version", "supply", "supply.zs", "route[9].length_m", "route[]", "__class__", "",
                                  "a" * 999])  # fmt: skip
def test_a_place_that_the_record_has_not_is_refused(desk, path):
    with pytest.raises(BadJobFile):
        desk.change({path: 1})


def test_not_seen_is_a_change_too(desk):
    desk.change({"supply.ze_ohm": None, "supply.metered": None})
    assert desk.at("supply.ze_ohm") is None
    assert desk.at("supply.metered") is None
    desk.undo(desk.store.history(desk.job)[0].id)
    assert desk.at("supply.metered") is True


def test_a_list_grows_at_its_end_and_loses_its_last(desk):
    desk.change({"installation.loads[4]": {"name": "shower", "purpose": "instantaneous_water_heating"}})
    assert desk.at("installation.loads[4]").name == "shower"
    desk.change({"installation.loads[4]": None})
    assert len(desk.at("installation.loads")) == 4
    with pytest.raises(BadJobFile, match="only the last"):
        desk.change({"installation.loads[0]": None})


def test_undo_is_a_change_and_can_be_undone(desk):
    desk.change({"supply.ze_ohm": 0.28}, operation="a")
    desk.undo("a", operation="b")
    assert desk.at("supply.ze_ohm") == Reading(0.1, 0.35, "up to the operator's usual figure for TN-C-S")
    desk.undo("b")
    assert desk.at("supply.ze_ohm") == measured(0.28)
    assert len(desk.store.history(desk.job)) == 4


def test_undo_never_takes_a_later_change_with_it(desk):
    desk.change({"supply.ze_ohm": 0.28}, operation="a")
    desk.change({"supply.ze_ohm": 0.31})
    with pytest.raises(CannotUndo, match="Ze"):
        desk.undo("a")
    assert desk.at("supply.ze_ohm") == measured(0.31)


def test_the_first_entry_and_a_thing_taken_back_cannot_be_taken_back(desk):
    desk.change({"supply.looped": True}, operation="a")
    desk.undo("a")
    for of in ("a", "first", "never"):
        with pytest.raises(CannotUndo):
            desk.undo(of)


def test_a_job_that_is_not_there(desk):
    with pytest.raises(NoSuchJob):
        desk.store.read("nothing")
