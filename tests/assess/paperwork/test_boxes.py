"""The boxes of the papers: how many were counted, what fills them, and that nothing is typed or reckoned twice."""

import datetime
from collections import Counter

import pytest
from situations import LIMIT, capped

from ampwright.assess.paperwork.boxes import BOXES, FUNCTIONS, boxes_of, fillings
from ampwright.deliver.demo import FINISHED, JOBS, demo_files
from ampwright.facts import rows
from ampwright.job.fields import fields, leaves
from ampwright.job.files import parse
from ampwright.job.paths import changed, pattern_of
from ampwright.job.record import Job
from ampwright.reading import assumed, measured

TODAY = datetime.date(2026, 10, 10)
DONE = parse(demo_files()[FINISHED])
# Counted paper by paper in the research before the table was made: all boxes, and the compulsory ones.
COUNTED = {
    "01": (14, 8), "02": (18, 13), "03": (48, 37), "04": (20, 14), "05": (36, 31), "06": (35, 26), "07": (48, 33),
    "08": (16, 11), "09": (55, 46), "10": (19, 19), "11": (26, 19), "12": (29, 22), "13": (34, 21), "14": (16, 10),
    "15": (30, 20), "16": (11, 6), "17": (35, 23), "18": (11, 8), "19": (12, 8), "20": (18, 12), "21": (22, 20),
    "22": (23, 16),
}  # fmt: skip


def values(job, today=TODAY):
    return {box.label: box.value for box in boxes_of(job, today)}


def told(job, label):
    return values(job)[label]


def test_the_table_has_the_boxes_that_were_counted():
    every = Counter(row["deliverable"][:2] for row in rows(BOXES))
    compulsory = Counter(row["deliverable"][:2] for row in rows(BOXES) if row["required"] == "required")
    assert {paper: (every[paper], compulsory[paper]) for paper in every} == COUNTED
    assert len({row["key"] for row in rows(BOXES) if row["required"] == "required"}) == 215


def test_each_fact_has_one_source_and_each_source_is_there():
    assert set(fillings()) == {row["key"] for row in rows(BOXES)}
    for key, filling in fillings().items():
        assert filling.owed_by, key
        if filling.source.startswith("="):
            assert filling.source[1:].split(" ")[0] in FUNCTIONS, key
        for prefix in filter(None, filling.also.split("; ")):
            assert any(path == prefix or path.startswith((f"{prefix}.", f"{prefix}[].")) for path in leaves()), prefix


def test_every_compulsory_box_of_a_finished_job_is_filled():
    boxes = [box for box in boxes_of(DONE, TODAY) if box.compulsory]
    assert len(boxes) == 423
    assert [box.label for box in boxes if box.value is None or not box.value.strip()] == []


def test_one_fact_reads_the_same_on_every_paper():
    keys = [row["key"] for row in rows(BOXES)]
    said: dict[str, set[str | None]] = {}
    for key, box in zip(keys, boxes_of(DONE, TODAY), strict=True):
        said.setdefault(key, set()).add(box.value)
    assert all(len(each) == 1 for each in said.values())


def test_nothing_is_said_of_a_job_that_nobody_looked_at_but_what_needs_no_looking():
    filled = {box.label for box in boxes_of(Job(), TODAY) if box.compulsory and box.value is not None}
    # Constants of the forms, the record's own declared voltage, and what the firm's price book says of every job.
    assert filled == {
        "BS 7671 edition / amendment date", "Nominal voltage U0", "Nominal frequency", "Next inspection interval",
        "Schedule page counts", "Points served", "IR test voltage", "Charging mode", "Exclusions and assumptions",
        "Documents left (list)",
    }  # fmt: skip


@pytest.mark.parametrize("name", [*JOBS, FINISHED])
def test_every_path_of_a_box_is_one_of_the_record(name):
    for box in boxes_of(parse(demo_files()[name]), TODAY):
        for path in box.paths:
            pattern = pattern_of(path)
            assert any(each == pattern or each.startswith((f"{pattern}.", f"{pattern}[]")) for each in fields()), path


def test_a_paper_that_is_not_owed_has_no_boxes():
    job = changed(DONE, {"dates.grant_applied": None, "generation.part_of_this_job": False})
    papers = {box.paper[:2] for box in boxes_of(job, TODAY)}
    assert papers == set(COUNTED) - {"17", "21"}


def test_an_address_of_the_customer_is_typed_only_where_it_is_another():
    assert told(DONE, "Customer (billing) address") == "Rowan Bungalow, 8 Example Road, Sampleton, ZZ4 4ZZ"
    elsewhere = changed(DONE, {"people[0].address": ("2 Example Row",), "people[0].postcode": "ZZ5 5ZZ"})
    assert told(elsewhere, "Customer (billing) address") == "2 Example Row, ZZ5 5ZZ"


def test_one_signature_stands_for_all_that_its_maker_answers_for():
    assert [told(DONE, f"{each} signature") for each in ("Designer", "Constructor", "Inspector")] == [
        "D-004_installer.svg"] * 3  # fmt: skip
    other = changed(DONE, {"people[0].role": "inspector"})
    assert told(other, "Inspector/tester name") == "E. Pattern"
    assert told(other, "Designer name") == "B. Specimen"
    assert told(other, "Customer signature") is None


@pytest.mark.parametrize(("mpan", "operator", "grouped"), [
    ("22 7867 6232 781", "South West, no. 22", "22 7867 6232 781"),  # public test data; see test_mpan
    ("2400000000022", "independent operator, no. 24", None),
    ("2278676232782", None, None),
])  # fmt: skip
def test_the_operator_is_told_by_the_mpan(mpan, operator, grouped):
    found = values(changed(DONE, {"site.mpan": mpan}))
    assert found["Network operator"] == operator
    if grouped is not None:
        assert found["MPAN (13 or 21 digit; NI 11-digit MPRN)"] == grouped


def test_the_loop_at_the_board_by_hand():
    # Ze 0.18 Ω; 1 m of 25 mm² at 0.727 Ω/km and of 16 mm² at 1.15 Ω/km (IEC 60228): 0.18 + 0.000727 + 0.00115 = 0.1819
    assert told(DONE, "Zdb at board") == "0.19 Ω, by calculation: Ze and the tails"
    longer = changed(DONE, {"supply.tails.length_m": measured(10)})  # 0.18 + 0.00727 + 0.0115 = 0.1988
    assert told(longer, "Zdb at board") == "0.20 Ω, by calculation: Ze and the tails"
    assert told(changed(DONE, {"tests.board_zs_ohm": measured(0.21)}), "Zdb at board") == "0.21 Ω"


@pytest.mark.parametrize("changes", [
    {"supply.earthing": "TT"}, {"circuit.fed_from": "garage board"}, {"supply.earthing_conductor_metal": "steel"},
    {"supply.tails.length_m": None},
], ids=str)  # fmt: skip
def test_the_loop_at_a_board_that_is_not_at_the_origin_is_measured(changes):
    assert told(changed(DONE, changes), "Zdb at board") is None


def test_zs_by_hand():
    # Ze 0.18 Ω and R1 + R2 as read 0.04 Ω
    assert told(DONE, "Zs (measured or Ze+R1+R2)") == "0.22 Ω, by calculation: Ze plus R1 + R2"


def test_the_pilot_offers_what_the_published_rule_says():
    # IEC 61851-1: 0.6 A for each per cent up to 85 %, so 53.3 % is 31.98 A
    assert told(DONE, "Pilot duty cycle -> offered current") == "53.3 %, offers 32.0 A"


def test_voltage_drop_by_hand():
    # 7.9 mV/A/m x 32 A x 6 m = 1.517 V of 230 V is 0.66 %
    assert told(DONE, "Voltage drop") == "1.52 V, 0.66 %"


def test_generation_by_hand():
    # 16 A at 230 V: 3.68 kW, the published ceiling of the notice after the event (EREC G98)
    assert told(DONE, "Capacity per phase") == "3.68 kW on L1"


def test_a_range_is_told_as_one_and_an_open_check_fills_nothing():
    wide = changed(DONE, {"route[0].length_m": assumed(6, 300, "paced"), "supply.ze_ohm": None})
    found = values(wide)
    assert found["Cable length"] == "6 to 300 m"
    assert found["Voltage drop"] is None
    assert found["Zs (measured or Ze+R1+R2)"] is None


def test_notices_by_hand():
    found = told(DONE, "Notification due dates (28 d / 30 d)")
    # Completed on 5 October: 30 days after is 4 November (SI 2010/2214, regulation 20(3)).
    assert "the occupier and the local authority: by 4 November 2026" in found
    # Above 60 A the operator is asked before the work (the network operators' form).
    assert "the network operator: by 5 October 2026" in found
    small = changed(DONE, {"charge_point.set_a": 9.0, "charge_point.set_locked_from_customer": True})
    # 50.1 A of house and 9 A of car stay below 60 A: told within 28 days of 5 October, by 2 November.
    assert "the network operator: by 2 November 2026" in told(small, "Notification due dates (28 d / 30 d)")


def test_a_load_cap_is_told_with_the_demand_only_where_it_stands():
    eighty = {"supply.cutout.rating_a": measured(80), "supply.cutout.sustained_a": 80.0, f"{LIMIT}.limit_a": 75.0}
    label = "New maximum demand incl. charge point"
    # 50 A and 20 A of house with 32 A of car: 102 A, or 75 A where the cap counts.
    assert told(capped(eighty, 50.0, 20.0), label) == "102.0 A (75.0 A with the load cap)"
    slow = {f"{LIMIT}.response_s": 600.0, f"{LIMIT}.watchdog_s": 600.0, f"{LIMIT}.message_every_s": 600.0}
    assert told(capped({**eighty, **slow}, 50.0, 20.0), label) == "102.0 A"
