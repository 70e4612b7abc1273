"""The installation certificate's data: the work, the supply, the circuit, inspections, test results, who signs.

Its boxes are those of the certificate and of its three schedules, so that what is signed is all of it.
"""

from __future__ import annotations

from collections.abc import Iterator

from ampwright.assess.paperwork.boxes import SECTIONS
from ampwright.assess.testing.sheet import Box
from ampwright.deliver.documents.blocks import (
    Block,
    Boxes,
    BoxRow,
    Caution,
    Heading,
    Listing,
    Paper,
    Signature,
    Table,
    Text,
)
from ampwright.deliver.documents.form import part_of
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.recorded import value_words
from ampwright.deliver.documents.signing import signers
from ampwright.deliver.documents.who import about, person_words
from ampwright.deliver.testing import STAGES, expected_words, limit_words, read_words, verdict_words
from ampwright.facts import look_up_text
from ampwright.job.paths import at
from ampwright.job.record import Job

SAYS = ("The data of an installation certificate, of its schedule of inspections, of the circuit's details and of its "
        "test results, in a layout of our own. The standard's own forms are its publisher's.")  # fmt: skip
CERTIFICATE, INSPECTIONS, CIRCUIT, RESULTS = "09", "10", "11", "12"
# What stands in the schedule of test results and is no test of the sheet.
BESIDE_TESTS = ("Zdb at board", "Ipf at board", "IR test voltage", "Circuits/equipment vulnerable to test", "Remarks")


def certificate(pack: Pack) -> Paper:
    """The data of the certificate and its schedules, and the test results with their limits."""
    blocks: list[Block] = [about(pack), Text(f"Judged by {pack.sheet.edition}.")]
    blocks += [Heading("The work"), _boxes(pack, CERTIFICATE, "jo", "cu", "te")]
    blocks += [Heading("Supply and earthing"), _boxes(pack, CERTIFICATE, "su", "ci", "md")]
    blocks += [Heading("The installation as found"), _boxes(pack, CERTIFICATE, "ex")]
    blocks += [Heading("The circuit"), _boxes(pack, CIRCUIT, "ex", "ci")]
    blocks += [Heading("Its cable, from the board outward", 3), _route(pack.job)]
    blocks += [Heading("Inspections"), _boxes(pack, INSPECTIONS, "in")]
    blocks += [Heading("Test results"), *_results(pack), _boxes(pack, RESULTS, "te", only=BESIDE_TESTS)]
    blocks += [Heading("Instruments"), *_instruments(pack), Heading("Signed"), *_signed(pack)]
    return Paper("tests", "Installation certificate data and test results", SAYS, tuple(blocks))


def _boxes(pack: Pack, form: str, *sections: str, only: tuple[str, ...] = ()) -> Boxes:
    return Boxes(part_of(pack.boxes, form, *(SECTIONS[each] for each in sections), only=only))


def _route(job: Job) -> Table:
    """Each stretch of the circuit's cable."""
    names = ("cable.kind", "cable.size_mm2", "cable.cores_count", "cable.cpc", "length_m", "method")
    rows = tuple((section.name, *(_cell(job, f"route[{number}].{name}") for name in names))
                 for number, section in enumerate(job.route))  # fmt: skip
    return Table(("Stretch", "Cable", "Live", "Cores", "Protective conductor", "Length", "Method"), rows,
                 (2.6, 1.8, 1.1, 0.9, 1.8, 1.8, 1.1))  # fmt: skip


def _cell(job: Job, path: str) -> str:
    return value_words(path, at(job, path)) or "not said"


def _results(pack: Pack) -> Iterator[Block]:
    stage, told = "", set[str]()
    rows: list[tuple[str, ...]] = []
    for box in pack.sheet.boxes:
        if box.test.stage != stage:
            yield from _table(rows)
            rows, stage = [], box.test.stage
            yield Heading(STAGES[stage].capitalize(), 3)
            if stage == "live" and pack.sheet.before_energising:
                yield Caution(f"Do not energise yet. First settle: {'; '.join(pack.sheet.before_energising)}.")
        for each in box.test.cautions:
            if each not in told:
                yield Caution(look_up_text("gb/cautions", "text", id=each))
                told.add(each)
        rows.append(_result(box))
    yield from _table(rows)


def _table(rows: list[tuple[str, ...]]) -> Iterator[Block]:
    if rows:
        yield Table(("Test", "Should read", "Limit", "Read", "Verdict"), tuple(rows), (2, 2.2, 2.2, 1.3, 2))


def _result(box: Box) -> tuple[str, ...]:
    limit = limit_words(box) if box.limit.value is not None else ""
    should = expected_words(box) if box.test.rule else "yes"
    if box.reading is None:
        return box.test.title, should, limit, "", verdict_words(box)
    doubt = f"; look again: it is {box.doubt.says}" if box.doubt else ""
    again = f"; after the repair repeat: {'; '.join(box.repeat)}" if box.repeat else ""
    return box.test.title, should, limit, read_words(box), f"{verdict_words(box)}{doubt}{again}"


def _instruments(pack: Pack) -> Iterator[Block]:
    lines = (*pack.sheet.instruments, *pack.sheet.faults)
    yield Listing(lines) if lines else Text("None stated: give each its name, serial number and date of calibration.")


def _signed(pack: Pack) -> Iterator[Block]:
    held = {(each.role, each.name): each for each in pack.signed}
    for duty, role, person in signers(pack.job):
        named = None if person is None else person_words(person)
        mark = held.get((person.role, person.name or "")) if person else None
        rows = (BoxRow(duty, named, f"the {role}", True),)
        if mark is not None:
            yield from (Boxes(rows), Signature(duty, mark.name, mark.when, mark.lines, mark.how))
        else:
            yield Boxes((*rows, BoxRow(f"{duty}: signature and date", None, f"the {role}", True)))
