"""What the certificate, the notice and the handover take from the boxes of the forms: all of it, once, and in order."""

from __future__ import annotations

import csv
import datetime
import io

import pytest

from ampwright.assess.paperwork.boxes import BOXES
from ampwright.deliver.demo import FINISHED, demo_files
from ampwright.deliver.documents.blocks import Boxes, Label, Listing, Table, Text
from ampwright.deliver.documents.book import PAPERS
from ampwright.deliver.documents.certificate import BESIDE_TESTS
from ampwright.deliver.documents.draft import gates_of
from ampwright.deliver.documents.labels import LINE
from ampwright.deliver.documents.pack import Pack
from ampwright.facts import rows
from ampwright.job.files import parse
from ampwright.job.paths import changed

BUNGALOW = parse(demo_files()[FINISHED])
# Boxes that stand on the certificate otherwise: whom and where it is about, who signs, instruments, tests and limits.
OTHERWISE = ("pr.", "co.", "sig.", "ins.", "te.")


def paper(name, **new):
    job = changed(BUNGALOW, {path.replace("__", "."): value for path, value in new.items()})
    return PAPERS[name](Pack(job, datetime.date(2026, 11, 21)))


def boxes(made):
    return [row for block in made.blocks if isinstance(block, Boxes) for row in block.rows]


def test_the_certificate_has_every_compulsory_box_of_its_schedules():
    there = {row.label for row in boxes(paper("tests"))}
    wanted = {row["field"] for row in rows(BOXES) if row["deliverable"][:2] in ("09", "10", "11", "12")
              and row["required"] == "required" and not row["key"].startswith(OTHERWISE)}  # fmt: skip
    assert len(wanted) > 40
    assert wanted - there == set()
    assert set(BESIDE_TESTS) <= {row["field"] for row in rows(BOXES) if row["deliverable"].startswith("12")}


def test_on_the_certificate_what_was_done_is_done():
    def verdicts(made):
        results = [row for block in made.blocks if isinstance(block, Table) and block.head[0] == "Test"
                   for row in block.rows]  # fmt: skip
        return {row[0]: row[-1] for row in results}

    done = verdicts(paper("tests"))
    assert (done["Isolated and proved dead"], done["RCD: test button"]) == ("done", "done")
    assert "to be done" not in done.values()
    assert verdicts(paper("tests", tests__isolation_proved=None))["Isolated and proved dead"] == "to be done"
    assert verdicts(paper("tests", tests__rcd_button_works=False))["RCD: test button"].startswith("NOT PASSED")


def test_the_notice_says_one_demand_and_what_the_operator_asks_of_the_maker():
    made = paper("network")
    said = {row.label: row.value for row in reversed(boxes(made))}
    # by hand: cooking 10 A + 30 % of 20.43 A more, sockets 32 A, lighting 66 % of 3 A, the car 32 A: 82.11 A, told up
    assert said["New maximum demand incl. charge point"] == "82.2 A"
    assert isinstance(made.blocks[0], Text)
    assert "the demand of 82.2 A is above 60 A" in made.blocks[0].text
    for label in ("Charge point model reference", "Device register reference for the network form",
                  "Power-quality compliance statement"):  # fmt: skip
        assert said[label]
    assert [row.label for row in boxes(made) if row.value is None] == []
    in_csv = list(csv.DictReader(io.StringIO(dict(made.beside)["csv"])))
    assert [(row["box"], row["entry"].lstrip("'")) for row in in_csv] == [(row.label, row.value) for row in boxes(made)]


@pytest.mark.parametrize(("fed_from", "place", "says"), [
    (None, "hall cupboard", "at the consumer unit (hall cupboard)."),
    (None, None, "at the consumer unit."),
    ("garage board", "hall cupboard", "at garage board."),
])  # fmt: skip
def test_the_handover_says_where_to_switch_off(fed_from, place, says):
    made = paper("handover", circuit__fed_from=fed_from, installation__board_place=place)
    isolate = next(block for block in made.blocks if isinstance(block, Listing) and block.numbered)
    assert isolate.items[2].endswith(says)


def test_a_label_says_what_the_record_has_and_leaves_a_line_for_the_rest():
    words = [block.text for block in paper("labels").blocks if isinstance(block, Label)]
    assert "This charge point is isolated at the consumer unit (hall cupboard), circuit 7" in words
    assert f"Inspected on 5 October 2026\nNext inspection {LINE}" in words
    assert ("Two supplies: isolate both before work\nthe network's at the main switch, hall cupboard\n"
            "the other at beside the board, lockable") in words  # fmt: skip
    bare = paper("labels", installation__board_place=None, dates__installed=None, generation__isolator_place=None)
    words = [block.text for block in bare.blocks if isinstance(block, Label)]
    assert f"This charge point is isolated at {LINE}" in words
    assert f"Inspected on {LINE}\nNext inspection {LINE}" in words
    assert f"Two supplies: isolate both before work\nthe network's at {LINE}\nthe other at {LINE}" in words


def test_what_the_scheme_sends_after_the_work_does_not_hold_the_handover():
    row = next(each for each in boxes(paper("handover", notices__building_reference=None))
               if each.label == "Building-regulation certificate number")  # fmt: skip
    assert (row.value, row.owed_by, row.compulsory) == (None, "the scheme", False)
    assert "15" not in gates_of("handover").forms


def test_the_handover_has_what_its_reader_was_given_and_nothing_for_the_installer():
    made = paper("handover")
    labels = {row.label for row in boxes(made)}
    assert {"Charge point serial number", "Warranty length", "Documents left (list)"} <= labels
    assert [row.label for row in boxes(made) if row.value is None] == []
    assert "For the installer" not in str(made)
