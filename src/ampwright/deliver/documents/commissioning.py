"""Charge-point commissioning and settings: what it is set to, and what it did under test."""

from __future__ import annotations

from ampwright.deliver.documents.blocks import Block, Boxes, Heading, Listing, Note, Paper, Table, Text
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.recorded import rows_of, value_words
from ampwright.deliver.documents.who import about, cap_words
from ampwright.deliver.screen import ON_SCREEN
from ampwright.deliver.testing import limit_words, read_words, verdict_words
from ampwright.job.record import Job

SAYS = "What the charge point and its load cap are set to, where each sensor sits, and how they answered under test."
POINT = ("rated_a", "set_a", "set_locked_from_customer", "phases", "line", "connector", "outdoors", "sends_power_back",
         "meets_standards", "dc_detection", "open_pen", "rcd", "ip", "ik", "mounting")  # fmt: skip


def commissioning(pack: Pack) -> Paper:
    """Settings first, then sensors, then the charge-point tests."""
    job = pack.job
    blocks: list[Block] = [
        about(pack),
        Heading("The charge point"), Boxes(rows_of(job, *(f"charge_point.{each}" for each in POINT))),
        Heading("Load cap"), Text(cap_words(pack)), Boxes(rows_of(job, "charge_point.load_cap")),
        Heading("Following the sun, and the settings that the law asks of a smart charge point"),
        Boxes(rows_of(job, "charge_point.following")),
    ]  # fmt: skip
    if job.sensors:
        blocks += [Heading("Sensors"), _sensors(job)]
    rows = tuple((box.test.title, limit_words(box) if box.limit.value is not None else "",
                  "" if box.reading is None else read_words(box), verdict_words(box))
                 for box in pack.sheet.boxes if box.test.stage == "charge point")  # fmt: skip
    blocks += [Heading("How it answered"), Table(("Test", "Limit", "Read", "Verdict"), rows, (3, 3, 2, 1.5))]
    blocks.append(Note("Each test and each setting goes by the maker's instructions before it goes by this sheet."))
    asked = tuple(f"{check.asks} {check.says}" for check in pack.load_cap.checks if ON_SCREEN[check.verdict] != "MET")
    if asked and job.charge_point.load_cap.fitted:
        blocks += [Heading("What the load cap still wants"), Listing(asked)]
    return Paper("commissioning", "Charge-point commissioning and settings", SAYS, tuple(blocks))


def _sensors(job: Job) -> Table:
    rows = tuple((each.name, each.watches, each.line, each.link or "not looked at",
                  value_words("rated_a", each.rated_a) or "not looked at") for each in job.sensors)  # fmt: skip
    return Table(("Sensor", "Watches", "Line", "By", "Rated"), rows, (3, 2, 1, 2, 1.5))
