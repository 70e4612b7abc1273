"""A firm's own figures in the store: which are in use, and what is looked at before a file of them is taken in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ampwright.assess.user_csv import BadTable, rows_of
from ampwright.deliver.figures import KINDS, Figures, Kind, Marks, figures_of_texts, marks_of
from ampwright.deliver.spreadsheet import FORMULA
from ampwright.deliver.store.figure_book import FigureBook
from ampwright.deliver.store.store import Store
from ampwright.job.faults import Fault, shortened

MOST_SIGNS_COUNT, MOST_ROWS_COUNT = 300_000, 2000
NO_OTHERS: Mapping[str, str] = {}
PLAIN = "\t\r\n"


def figures_in_use(store: Store, job: str = "", instead: Mapping[str, str] = NO_OTHERS) -> Figures:
    """What the firm's jobs are worked out by: these texts instead, its own where it has them, else those shipped.

    On this machine without an account they are those of the firm of the job. Raises NoSuchJob, and BadFigures where
    an Ampwright of today cannot read what an older one took in.
    """
    return figures_of_texts(tuple({**_own(store, job), **instead}.items()))


def marks_in_use(store: Store, job: str = "") -> Marks:
    """What tells the figures in use from others, without reading them. Raises NoSuchJob."""
    return marks_of(_own(store, job))


def _own(store: Store, job: str) -> dict[str, str]:
    newest = FigureBook(store, job).newest()
    texts = {name: newest[name].text for name in KINDS if name in newest}
    return {name: text for name, text in texts.items() if text is not None}


def check(kind: Kind, text: str) -> None:
    """Whether a text can be taken in as figures of this kind. Raises BadTable with everything that is wrong with it."""
    faults = list(_faults_of(kind, text))
    if not faults:
        try:
            kind.read(text)
        except BadTable as bad:
            faults += bad.faults
        faults += _formulas(kind, text)
    if faults:
        raise BadTable(faults, f"the {kind.sort.name}", kind.sort.name)


def _faults_of(kind: Kind, text: str) -> Iterator[Fault]:
    """What keeps a text from being read at all."""
    lines = text.splitlines()
    if not text.strip():
        yield Fault(None, "", "nothing was sent; choose a file first")
    elif len(text) > MOST_SIGNS_COUNT or len(lines) > MOST_ROWS_COUNT:
        yield Fault(None, "", f"this is too long: at most {MOST_ROWS_COUNT:,} lines and {MOST_SIGNS_COUNT:,} signs are "
                    f"taken of a {kind.sort.name}")  # fmt: skip
    else:
        yield from _of_another_kind(kind, lines)
        for number, line in enumerate(lines, start=1):
            if any(not sign.isprintable() and sign not in PLAIN for sign in line):
                yield Fault(number, "", "this holds a sign that cannot be printed; write it in plain letters")


def _of_another_kind(kind: Kind, lines: list[str]) -> Iterator[Fault]:
    heads = {cell.strip().strip('"') for cell in lines[0].split(",")}
    other = next((each for each in KINDS.values() if heads == set(each.sort.columns)), kind)
    columns = ", ".join(kind.sort.columns)
    if other is not kind:
        yield Fault(1, "", f"this is a {other.sort.name} and not a {kind.sort.name}; put it in under {other.title}")
    elif not heads & set(kind.sort.columns):
        yield Fault(1, "", f"this is not a {kind.sort.name}: the first line of one names the columns {columns}")


def _formulas(kind: Kind, text: str) -> Iterator[Fault]:
    """Cells with which a spreadsheet would reckon: whoever loads the figures down opens them in one."""
    for line, row in rows_of(text, kind.sort.columns, []):
        for column, cell in row.items():
            if FORMULA.match(cell):
                yield Fault(line, column, f"a spreadsheet would take '{shortened(cell)}' for a formula; begin it with "
                            "a letter")  # fmt: skip
