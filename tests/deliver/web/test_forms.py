"""What the forms of the survey keep, refuse and leave alone."""

import re

import pytest
from sqlalchemy.exc import OperationalError

from ampwright.assess.assessment import assess
from ampwright.deliver.demo import demo_files
from ampwright.deliver.store.clock import clock
from ampwright.deliver.web.controls import boxes, in_words_now, kind_of, said, unit_of, value_of
from ampwright.deliver.web.line import line
from ampwright.deliver.web.parts import NOT_HERE, part_of, parts, standings
from ampwright.job.fields import fields
from ampwright.job.files import parse
from ampwright.reading import Reading, measured


def store_of(app):
    return app.state.site.store


def record(app, terrace):
    return store_of(app).read(terrace.rsplit("/", 1)[-1])[0]


def test_every_field_belongs_to_one_part():
    left = [path for path in fields() if part_of(path) is None and not path.startswith(NOT_HERE)]
    assert left == []


def test_an_exact_value_a_range_and_not_seen(client, form, terrace, app):
    data = form("cut-out") | {"supply.ze_ohm~kind": "exact", "supply.ze_ohm~low": "0.21", "supply.ze_ohm~high": "",
                              "supply.ze_ohm~because": "", "supply.ze_ohm~with": "",
                              "supply.pfc_ka~kind": "range", "supply.pfc_ka~low": "1", "supply.pfc_ka~high": "2",
                              "supply.pfc_ka~because": "two meters differ", "supply.pfc_ka~with": "",
                              "supply.cutout.rating_a~kind": "unseen"}  # fmt: skip
    client.post(f"{terrace}/part/cut-out", data=data)
    job = record(app, terrace)
    assert job.supply.ze_ohm == measured(0.21)
    assert job.supply.pfc_ka == Reading(1, 2, "two meters differ")
    assert job.supply.cutout.rating_a is None


def test_a_form_sent_as_it_was_shown_changes_nothing():
    for text in (demo_files()[name] for name in demo_files() if name.endswith(".yaml")):
        from ampwright.deliver.store.values import value_at
        from ampwright.deliver.web.parts import paths_of
        from ampwright.deliver.web.survey import changes
        from ampwright.job.files import values_of

        job = parse(text)
        values = values_of(job)
        paths = [path for part in parts().values() for path in paths_of(job, part)]
        typed = {f"{path}~{box}" if box else path: text
                 for path in paths for box, text in boxes(kind_of(path), value_at(values, path)).items()}  # fmt: skip
        assert len(paths) > 100
        assert changes(values, paths, typed) == {}


def test_a_number_beside_not_seen_is_not_thrown_away(client, form, terrace):
    data = form("cut-out") | {"supply.pfc_ka~kind": "unseen", "supply.pfc_ka~low": "1.2"}
    answer = client.post(f"{terrace}/part/cut-out", data=data)
    assert answer.status_code == 422
    assert "marked as not seen" in answer.text
    assert 'value="1.2"' in answer.text


def test_all_faults_at_once_and_what_was_typed_stays(client, form, terrace, app):
    before = record(app, terrace)
    data = form("cut-out") | {"supply.ze_ohm~kind": "exact", "supply.ze_ohm~low": "nought",
                              "supply.pfc_ka~kind": "range", "supply.pfc_ka~low": "3", "supply.pfc_ka~high": "2"}
    answer = client.post(f"{terrace}/part/cut-out", data=data)
    assert answer.status_code == 422
    assert "nought" in answer.text
    assert "because" in answer.text
    assert record(app, terrace) == before


def test_the_same_form_twice_changes_once(client, form, terrace, app):
    data = form("board") | {"installation.surge_protection": "true"}
    first = client.post(f"{terrace}/part/board", data=data)
    again = client.post(f"{terrace}/part/board", data=data)
    assert again.url == first.url
    assert len(store_of(app).history(terrace.rsplit("/", 1)[-1])) == 2


def test_one_operation_id_with_other_contents_is_refused(client, form, terrace):
    data = form("board") | {"installation.surge_protection": "true"}
    client.post(f"{terrace}/part/board", data=data)
    answer = client.post(f"{terrace}/part/board", data=data | {"installation.surge_protection": "false"})
    assert answer.status_code == 409


def test_a_stretch_is_added_and_taken_out(client, form, terrace, app):
    client.post(f"{terrace}/part/route", data=form("route") | {"route[2].name": "across the drive"})
    assert [each.name for each in record(app, terrace).route][2] == "across the drive"
    client.post(f"{terrace}/take-out", data=form("route") | {"item": "route[0]"})
    assert [each.name for each in record(app, terrace).route] == ["front wall", "across the drive"]


def test_an_entry_is_added_by_what_it_is_called_and_what_it_cannot_do_without(client, terrace, app):
    found = client.get(f"{terrace}/part/board").text
    count = len(record(app, terrace).installation.loads)
    boxes = re.findall(rf'name="installation\.loads\[{count}\]\.(\w+)"', found)
    assert boxes == ["name", "purpose"]
    assert "Add a load</span></summary>" in found  # where one list alone grows, no more is said


def test_a_list_within_an_entry_says_of_which(client, form, terrace):
    for name in ("hatchback", "van"):
        number = ("hatchback", "van").index(name)
        client.post(f"{terrace}/part/car", data=form("car") | {f"vehicles[{number}].name": name})
    found = client.get(f"{terrace}/part/car").text
    assert re.findall(r"Add a trip</span><span class=\"now\">([^<]+)<", found) == [
        "Vehicles, no. 1 (hatchback)", "Vehicles, no. 2 (van)"]  # fmt: skip


def test_half_an_entry_is_refused_and_says_what_is_missing(client, form, terrace, app):
    count = len(record(app, terrace).installation.points)
    half = {f"installation.points[{count}].name": "garage board"}
    answer = client.post(f"{terrace}/part/board", data=form("board") | half)
    assert answer.status_code == 422
    assert "this must be given" in answer.text


def test_a_load_s_name_may_be_left_blank_again(client, form, terrace, app):
    for told in ("the cooker", ""):
        client.post(f"{terrace}/part/board", data=form("board") | {"installation.loads[0].name": told})
        assert record(app, terrace).installation.loads[0].name == told


@pytest.mark.parametrize(("before", "kind", "because", "kept"), [
    ({"low": 60, "high": 100, "because": "cannot be read"}, "exact", "cannot be read", 90),
    ({"low": 60, "high": 100, "because": "cannot be read"}, "exact", "the carrier",
     {"value": 90, "because": "the carrier"}),
    ({"low": 60, "high": 100, "because": "cannot be read"}, "range", "cannot be read",
     {"low": 90, "high": 100, "because": "cannot be read"}),
    ({"value": 80, "because": "the plate"}, "exact", "the plate", {"value": 90, "because": "the plate"})])  # fmt: skip
def test_why_it_was_a_range_is_not_where_a_reading_comes_from(before, kind, because, kept):
    typed = {"kind": kind, "low": "90", "high": "100", "because": because, "with": ""}
    assert value_of("reading", typed, before) == kept


@pytest.mark.parametrize(("item", "status"), [("route[9]", 422), ("supply", 422), ("", 422), ("version[0]", 422)])
def test_what_cannot_be_taken_out(client, form, terrace, item, status):
    assert client.post(f"{terrace}/take-out", data=form("route") | {"item": item}).status_code == status


def test_the_file_that_comes_out_goes_in_again(client, terrace, app):
    text = client.get(f"{terrace}/file").text
    client.post("/jobs", files={"file": ("job.yaml", text.encode())}, data={"operation": "a" * 32})
    store = store_of(app)
    assert store.read(store.names()[-1])[0] == record(app, terrace)


@pytest.mark.parametrize(("choice", "words"), [("bs88_3", "BS 88-3"), ("bs1361", "BS 1361"), ("rcbo", "RCBO"),
                                               ("armoured_90c", "armoured, 90 °C"), ("TN-C-S", "TN-C-S")])
def test_words_of_closed_lists(choice, words):
    assert said(choice) == words


def test_times_are_by_the_british_clock():
    # summer time began on 29 March 2026 at 01:00 UTC
    assert clock("2026-06-03T13:05:00.000+00:00") == "3 June 2026, 14:05"
    assert clock("2026-03-29T00:59:59.000+00:00") == "29 March 2026, 00:59"


def test_a_file_that_another_holds_is_said_in_words(client, form, terrace, app, monkeypatch):
    def held(*_, **__):
        raise OperationalError("INSERT", {}, Exception("database is locked"))

    monkeypatch.setattr(store_of(app), "change", held)
    answer = client.post(f"{terrace}/part/board", data=form("board") | {"installation.spare_way": "true"})
    assert answer.status_code == 503
    assert "was not saved" in answer.text
    assert "INSERT" not in answer.text


def test_units_are_printed():
    assert unit_of("supply.ze_ohm") == "Ω"
    assert unit_of("route[0].soil_k_m_per_w") == "K m/W"
    assert unit_of("supply.phases") == ""
    assert in_words_now("supply.ze_ohm", {"low": 0.1, "high": 0.35, "because": "x"}) == "0.1 to 0.35 Ω (x)"


def test_text_that_is_no_number_goes_to_the_door_as_it_is():
    assert value_of("number", {"": "0,3"}, None) == "0,3"
    assert value_of("number", {"": " 32 "}, None) == 32
    assert value_of("numbers", {"": "1 2.5"}, None) == [1, 2.5]


def test_solar_from_a_split_of_the_tails_joins_there():
    job = parse(demo_files()["house_with_garage.yaml"])
    rows = [(row.standing.part.id, row.branch) for row in line(job, standings(assess(job))).rows]
    names = [name for name, _ in rows]
    assert [name for name, branch in rows if not branch] == ["street", "cut-out", "meter", "tails", "board", "route",
                                                             "charge-point", "car"]  # fmt: skip
    splits = [each.name for each in job.installation.points if each.kind == "split"]
    after = "tails" if job.generation.fed_from in splits else "board"
    assert names.index("roof") > names.index(after)


def test_what_a_save_changed_in_the_answers_is_shown(client, form, terrace):
    done = client.post(f"{terrace}/part/board", data=form("board") | {"installation.surge_protection": "true"})
    assert "Not yet known → " in done.text
    assert "Need not be found out any more" in done.text
