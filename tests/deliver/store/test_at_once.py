"""Many writers at once: nothing lost, nothing doubled, every read a state that there was."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from ampwright.deliver.demo import demo_files
from ampwright.deliver.store.store import OperationReused, Store
from ampwright.reading import measured

WRITERS_COUNT, EACH_COUNT = 6, 8


def test_every_writer_is_kept_and_the_order_is_one(desk):
    def write(writer):
        store = Store(desk.place)
        for number in range(EACH_COUNT):
            head = store.read(desk.job)[1]
            store.change(desk.job, {"supply.ze_ohm": (1 + number + EACH_COUNT * writer) / 100, "supply.looped": None},
                         operation=f"w{writer}-{number}", base=head, who=f"van {writer}", origin="a van")  # fmt: skip
        store.close()

    with ThreadPoolExecutor(WRITERS_COUNT) as pool:
        list(pool.map(write, range(WRITERS_COUNT)))

    told = desk.store.history(desk.job)
    assert {each.id for each in told} == {
        "first", *(f"w{writer}-{number}" for writer in range(WRITERS_COUNT) for number in range(EACH_COUNT))
    }
    seqs = [change.seq for each in reversed(told) for change in each.changes]
    assert seqs == sorted(set(seqs))
    last = next(change.new for each in told for change in each.changes
                if change.path == "supply.ze_ohm" and not change.held)  # fmt: skip
    assert desk.at("supply.ze_ohm") == measured(last)


def test_one_operation_sent_many_times_at_once_is_done_once(desk):
    base = desk.head()

    def send(_):
        return desk.change({"supply.ze_ohm": 0.28}, base=base, operation="same")

    with ThreadPoolExecutor(8) as pool:
        outcomes = list(pool.map(send, range(16)))
    assert outcomes == outcomes[:1] * 16
    assert [each.id for each in desk.store.history(desk.job)] == ["same", "first"]


def test_one_file_taken_in_many_times_at_once_is_one_job(desk):
    def send(_):
        return desk.store.take_in(demo_files()["terrace.yaml"], operation="again", who="Owner", origin="a file")

    with ThreadPoolExecutor(8) as pool:
        names = set(pool.map(send, range(16)))
    assert len(names) == 1
    assert set(desk.store.names()) == {desk.job, *names}


def test_one_operation_id_for_two_jobs_at_once_is_refused_to_one(desk):
    other = desk.store.take_in(demo_files()["terrace.yaml"], operation="other", who="Owner", origin="a file")

    def send(job):
        try:
            return desk.store.change(job, {"supply.looped": True}, operation="same", base=1, who="Owner", origin="here")
        except OperationReused:
            return None

    with ThreadPoolExecutor(2) as pool:
        outcomes = list(pool.map(send, (desk.job, other)))
    assert outcomes.count(None) == 1


@pytest.mark.parametrize("openers_count", [6])
def test_a_new_place_opened_by_many_at_once_is_made_once(place, openers_count):
    def look(_):
        store = Store(place)
        found = store.names()
        store.close()
        return found

    with ThreadPoolExecutor(openers_count) as pool:
        assert list(pool.map(look, range(openers_count))) == [()] * openers_count
