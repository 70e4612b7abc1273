"""What three demo jobs' papers say, word for word, as PDFium reads them; and their build, as pikepdf (qpdf) reads it
and a validator of PDF/A and PDF/UA (page) judges it. None of these had a part in making them.

`make goldens` writes the texts anew. They are our own output: read the difference before you keep it.
"""

from __future__ import annotations

import io
import re
from collections import Counter
from itertools import pairwise

import page
import pikepdf
import pytest
from papers_read import GOLDEN_JOBS, golden, printed_demo, text_of

SHOWS_TEXT = ("Tj", "TJ", "'", '"')


@pytest.fixture(scope="module", params=GOLDEN_JOBS)
def made(request):
    return request.param, printed_demo(request.param)


@pytest.fixture(scope="module")
def opened(made):
    return {name: pikepdf.open(io.BytesIO(held)) for name, held in made[1] if name.endswith(".pdf")}


def test_the_papers_say_what_they_said(made):
    name, papers = made
    now, kept = text_of(papers).splitlines(), golden(name).read_text(encoding="utf-8").splitlines()
    assert now == kept, "`make goldens`, then read what changed"


def test_a_validator_finds_nothing_against_either_standard(made):
    for name, held in (each for each in made[1] if each[0].endswith(".pdf")):
        for profile, least_count in ((page.ValidationProfile.PDF_A_3A, 150), (page.ValidationProfile.PDF_UA_1, 100)):
            report = page.validate_pdf_bytes(held, profile=profile)
            found = [(each.rule_id, each.object_id) for each in report.failures]
            assert [each for each in found if not is_misread(held, *each)] == [], name
            assert report.rules.passed + len(found) == report.rules.total >= least_count


def is_misread(held, rule, where):
    """Packed data may end with a carriage return. The validator takes that for the start of the end of line after it,
    and the length for wrong; it is right where the word `endstream` stands one end of line after so many bytes.
    """
    if rule != "PDFA3A-STREAM-LENGTH-001":
        return False
    begins = re.search(rb"\n%d 0 obj\n<<.*?/Length (\d+)\b.*?>>\nstream\n" % where.object_number, held, re.DOTALL)
    assert begins is not None
    ends = begins.end() + int(begins[1])
    return held[ends - 1 : ends + 10] == b"\r\nendstream"


def test_the_validator_can_tell_a_paper_that_is_not_tagged(made):
    with pikepdf.open(io.BytesIO(made[1][0][1])) as read:
        del read.Root.StructTreeRoot
        del read.Root.MarkInfo
        spoilt = io.BytesIO()
        read.save(spoilt)
    for profile in (page.ValidationProfile.PDF_A_3A, page.ValidationProfile.PDF_UA_1):
        assert not page.validate_pdf_bytes(spoilt.getvalue(), profile=profile).is_compliant


def test_every_word_on_a_page_is_tagged_once_or_is_marked_as_no_content(opened):
    for name, read in opened.items():
        told = Counter(read_in_order(read))
        assert max(told.values()) == 1, name
        assert set(told) == set(marked(read)), name


def marked(read):
    """Page and number of every piece of marked content that shows words; all words stand in one or in an artifact."""
    for number, leaf in enumerate(read.pages):
        within = []
        for step in pikepdf.parse_content_stream(leaf):
            operands, operator = step.operands, step.operator
            if str(operator) in ("BDC", "BMC"):
                within.append("artifact" if operands[0] == "/Artifact" else number_of(operands[-1]))
            elif str(operator) == "EMC":
                within.pop()
            elif str(operator) in SHOWS_TEXT:
                inside = [each for each in within if each is not None]
                assert inside, f"page {number + 1} shows words that no reader would be told of"
                if "artifact" not in inside:
                    yield number, inside[-1]


def number_of(told):
    """The number of a piece of marked content, if it has one."""
    return int(told["/MCID"]) if isinstance(told, pikepdf.Dictionary) and "/MCID" in told else None


def read_in_order(read):
    """Page and number of every piece that the structure tree tells, in its order, that holds words."""
    places = {leaf.obj.objgen: number for number, leaf in enumerate(read.pages)}
    with_words = set(marked(read))
    for element, number in pieces(read.Root.StructTreeRoot, None):
        if (places[element.objgen], number) in with_words:
            yield places[element.objgen], number


def pieces(element, leaf):
    leaf = element.get("/Pg", leaf)
    below = element.get("/K")
    for each in below if isinstance(below, pikepdf.Array) else [] if below is None else [below]:
        if isinstance(each, int):
            yield leaf, each
        elif each.get("/Type") == "/MCR":
            yield each.get("/Pg", leaf), int(each["/MCID"])
        elif "/S" in each:
            yield from pieces(each, leaf)


def kinds_in_order(element):
    if "/S" in element:
        yield str(element["/S"]), element
    below = element.get("/K")
    for each in below if isinstance(below, pikepdf.Array) else [below]:
        if isinstance(each, pikepdf.Dictionary) and "/S" in each:
            yield from kinds_in_order(each)


def test_headings_go_down_step_by_step_from_one_title(opened):
    for name, read in opened.items():
        levels = [int(kind[2:]) for kind, _ in kinds_in_order(read.Root.StructTreeRoot) if kind[:2] == "/H"]
        assert levels[0] == 1, name
        assert levels.count(1) == 1, name
        assert all(after <= before + 1 for before, after in pairwise(levels)), name


def test_every_table_has_a_head_and_rows_of_its_length(opened):
    for name, read in opened.items():
        for kind, table in kinds_in_order(read.Root.StructTreeRoot):
            if kind != "/Table":
                continue
            rows = [[kind for kind, _ in kinds_in_order(row) if kind in ("/TH", "/TD")]
                    for kind, row in kinds_in_order(table) if kind == "/TR"]  # fmt: skip
            assert set(rows[0]) == {"/TH"}, name
            assert {len(row) for row in rows} == {len(rows[0])}, name
