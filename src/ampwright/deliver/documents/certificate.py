"""The installation certificate's data: what was fitted, circuit details, test results, instruments, who signs."""

from __future__ import annotations

from collections.abc import Iterator

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
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.recorded import rows_of, value_words
from ampwright.deliver.documents.signing import signers
from ampwright.deliver.documents.who import about, person_words
from ampwright.deliver.screen import ON_SCREEN
from ampwright.deliver.testing import STAGES, expected_words, limit_words, read_words
from ampwright.facts import look_up_text
from ampwright.job.paths import at
from ampwright.job.record import Job

SAYS = ("The data of an installation certificate, of the circuit's details and of its test results, in a layout of our "
        "own. The standard's own forms are its publisher's.")  # fmt: skip


def certificate(pack: Pack) -> Paper:
    """Test results, circuit details and the data of an installation certificate."""
    job = pack.job
    blocks: list[Block] = [about(pack), Text(f"Judged by {pack.sheet.edition}.")]
    blocks += [Heading("Supply and earthing"), Boxes(rows_of(job, "supply", "electrode"))]
    blocks += [Heading("The circuit"), Boxes(rows_of(job, "circuit"))]
    blocks += [Heading("Its cable, from the board outward", 3), _route(job)]
    blocks += [Heading("Test results"), *_results(pack)]
    blocks += [Heading("Instruments"), *_instruments(pack), Heading("Signed"), *_signed(pack)]
    return Paper("tests", "Installation certificate data and test results", SAYS, tuple(blocks))


def _route(job: Job) -> Table:
    """Each stretch of the circuit's cable."""
    names = ("cable.kind", "cable.size_mm2", "cable.cores_count", "cable.cpc", "cable.cpc_mm2", "length_m", "method")
    rows = tuple((section.name, *(_cell(job, f"route[{number}].{name}") for name in names))
                 for number, section in enumerate(job.route))  # fmt: skip
    return Table(("Stretch", "Cable", "Live", "Cores", "Protective conductor", "Of a size", "Length", "Method"), rows,
                 (2.6, 1.8, 1.1, 0.9, 1.6, 1.3, 1.6, 1.1))  # fmt: skip


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
    if not box.test.rule:
        return f"{box.test.title}. {box.test.how}", "", "", "", "to be done"
    limit = limit_words(box) if box.limit.value is not None else ""
    if box.reading is None:
        return box.test.title, expected_words(box), limit, "", "to be done"
    verdict = ON_SCREEN[box.check.verdict] if box.check else ""
    doubt = f"; look again: it is {box.doubt.says}" if box.doubt else ""
    again = f"; after the repair repeat: {'; '.join(box.repeat)}" if box.repeat else ""
    return box.test.title, expected_words(box), limit, read_words(box), f"{verdict}{doubt}{again}"


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
