"""The papers as PDF, read back by pikepdf (qpdf) and pypdfium2 (PDFium), which had no part in making them."""

from __future__ import annotations

import dataclasses
import datetime
import io
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import pikepdf
import pypdfium2
import pytest

from ampwright.deliver.demo import write_demo
from ampwright.deliver.documents.blocks import BoxRow, Caution, Listing, Paper, Table, Text
from ampwright.deliver.documents.book import PAPERS
from ampwright.deliver.documents.form import form
from ampwright.deliver.documents.network import as_csv, as_list
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.printing import Source, pdf
from ampwright.deliver.documents.writing import write
from ampwright.job.fields import bare, leaves
from ampwright.job.files import load
from ampwright.job.paths import changed, pattern_of, spread
from ampwright.job.record import Job

DAY = datetime.date(2026, 11, 21)
NAMES = ("house_with_garage", "farmhouse", "terrace")
HOSTILE = (
    '#panic("no") #eval("1+1") *bold* _slanted_ $x^2$ `raw` <label> @ref [#x] \\u{41} // c /* c */ = H - i + 1. e',
    "<script>alert(1)</script> {{ 7*7 }} ${7*7} %s %n \"'; DROP TABLE jobs; --",
    "\u202eturned round\u202c \u0645\u0631\u062d\u0628\u0627 \u05e9\u05dc\u05d5\u05dd \U0001f600\ufe0f \u6f22\u5b57",
    "W" * 400,
    "tab\there, bell\x07, zero\u200bwidth, soft\u00adhyphen, e\u0301",
)
SOURCE = Source("A job", DAY, ("One reason", "another #reason"), "job.yaml", "version: 2\n")
EDGE_MM = 12
BOUND = ("site.mpan", "edition", "site.weather_file", "installation.half_hourly.highest_at")


@dataclass(frozen=True)
class WithoutSearch(Pack):
    """A pack whose designs were not sought, which takes the most time."""

    @cached_property
    def sought(self):
        return None, "nothing was sought"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("demo")
    list(write_demo(made))
    return made


def pack_of(job: Job, kind: type[Pack] = WithoutSearch) -> Pack:
    return kind(job, DAY)


def words_of(made: bytes) -> str:
    return "".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(made))


def bare_words(text: str) -> str:
    """Without what a line break, a place to break a long word or a soft mark of PDFium adds."""
    return "".join(each for each in text if not each.isspace() and each not in "\u200b\ufffe\u0002\u00ad-")


@pytest.fixture(scope="module", params=NAMES)
def printed(request, folder):
    file = folder / f"{request.param}.yaml"
    pack = pack_of(load(file))
    to = folder / "papers"
    return file, list(write(pack, file.name, file.read_text(encoding="utf-8"), to, PAPERS))


def test_every_paper_claims_both_standards_and_is_tagged(printed):
    for path in printed[1]:
        if path.suffix != ".pdf":
            continue
        with pikepdf.open(path) as read:
            told = read.open_metadata()
            assert (told["pdfaid:part"], told["pdfaid:conformance"], told["pdfuaid:part"]) == ("3", "A", "1")
            assert read.Root.MarkInfo.Marked
            assert str(read.Root.Lang) == "en-GB"
            assert read.Root.ViewerPreferences.DisplayDocTitle
            assert str(read.docinfo["/CreationDate"]).startswith("D:20261121")
            kinds = kinds_of(read.Root.StructTreeRoot)
            assert "/H1" in kinds
            assert kinds & {"/Table", "/P"}


def kinds_of(element) -> set[str]:
    """Every kind of structure element below one."""
    kinds = {str(element["/S"])} if "/S" in element else set()
    below = element.get("/K")
    for each in below if isinstance(below, pikepdf.Array) else [below]:
        if isinstance(each, pikepdf.Dictionary):
            kinds |= kinds_of(each)
    return kinds


def test_the_job_file_is_inside_byte_for_byte(printed):
    file, paths = printed
    for path in paths:
        if path.suffix == ".pdf":
            with pikepdf.open(path) as read:
                (attached,) = read.attachments.values()
                assert attached.get_file().read_bytes() == file.read_bytes()
                assert str(attached.obj.AFRelationship) == "/Source"
                assert attached.filename == file.name


def test_every_page_has_ink_and_none_at_its_edges(printed):
    for path in printed[1]:
        if path.suffix == ".pdf":
            for page in pypdfium2.PdfDocument(path):
                assert_inside(page)


def assert_inside(page) -> None:
    image = page.render(scale=1).to_pil().convert("L")
    width, height = image.size
    edge = round(EDGE_MM / 25.4 * 72)
    assert image.crop((edge, 60, width - edge, height - 60)).getextrema()[0] < 128
    for strip in ((0, 0, edge, height), (width - edge, 0, width, height), (0, height - 20, width, height)):
        assert image.crop(strip).getextrema()[0] > 250


def test_the_same_job_and_day_give_the_same_bytes(printed, tmp_path):
    file, paths = printed
    again = list(write(pack_of(load(file)), file.name, file.read_text(encoding="utf-8"), tmp_path, PAPERS))
    assert [each.name for each in again] == [each.name for each in paths]
    assert [each.read_bytes() for each in again] == [each.read_bytes() for each in paths]


def test_two_threads_may_print_at_once():
    papers = [Paper("p", f"Paper {number}", "", (Text("words " * 300),)) for number in range(8)]
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(lambda each: pdf(each, SOURCE), papers)) == [pdf(each, SOURCE) for each in papers]


def test_another_day_gives_other_bytes():
    paper = Paper("p", "A paper", "", (Text("words"),))
    later = dataclasses.replace(SOURCE, day=DAY + datetime.timedelta(days=1))
    assert pdf(paper, SOURCE) == pdf(paper, SOURCE) != pdf(paper, later)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_prints_as_text(text):
    blocks = (Text(text), Listing((text,)), Caution(text), Table((text, "b"), ((text, text),), (1, 1)))
    made = pdf(Paper("p", text, text, blocks), SOURCE)
    expected = bare_words("".join(as_number(each) for each in text))
    assert bare_words(words_of(made)).count(expected) >= 5
    for page in pypdfium2.PdfDocument(made):
        assert_inside(page)


def as_number(sign: str) -> str:
    """What a sign that Inter has not, or that steers the line, is written as; told here sign by sign, not computed."""
    steer = "\u202e\u202c\x07\u200b\u00ad\ufe0f"
    foreign = "\u0645\u0631\u062d\u0628\u0627\u05e9\u05dc\u05d5\u05dd\U0001f600\u6f22\u5b57"
    return f"[U+{ord(sign):04X}]" if sign in steer + foreign else sign


def test_hostile_text_in_every_free_field_still_prints_every_paper(folder, tmp_path):
    file = folder / "house_with_garage.yaml"
    job = dataclasses.replace(load(file), tests=Job().tests)  # what refers to a name falls with the name
    free = [path for path, hint in leaves().items() if bare(hint) is str and path not in BOUND
            and not path.endswith(("csv", "fed_from"))]  # fmt: skip
    where = [each for pattern in free for each in spread(job, pattern) if pattern_of(each) == pattern]
    every = {path: f"{HOSTILE[number % len(HOSTILE)]} {number}" for number, path in enumerate(where)}
    hostile = changed(job, every)
    paths = list(write(pack_of(hostile), file.name, "version: 2", tmp_path, PAPERS))
    assert len(every) > 10
    for path in paths:
        if path.suffix == ".pdf":
            for page in pypdfium2.PdfDocument(path):
                assert_inside(page)


def test_a_draft_says_so_on_every_page_and_lists_why():
    blocks = tuple(Text("words " * 400) for _ in range(5))
    read = pypdfium2.PdfDocument(pdf(Paper("p", "A paper", "", blocks), SOURCE))
    assert len(read) > 2
    for page in read:
        assert "DRAFT: not to be issued" in page.get_textpage().get_text_range()
    assert "another #reason" in read[len(read) - 1].get_textpage().get_text_range()
    clean = words_of(pdf(Paper("p", "A paper", "", blocks), dataclasses.replace(SOURCE, draft=())))
    assert "DRAFT" not in clean


def test_a_cell_that_a_spreadsheet_would_reckon_with_is_text():
    rows = (BoxRow("Name", "=HYPERLINK(1)", "x"), BoxRow("Telephone", "+44 113 000000", "x"),
            BoxRow("Other", "-cmd", "x"), BoxRow("Empty", None, "the customer"))  # fmt: skip
    made = as_csv((("Customer", rows),))
    assert "'=HYPERLINK(1)" in made
    assert ",+44 113 000000," in made
    assert "'-cmd" in made
    assert "Empty: (empty, owed by the customer)" in as_list((("Customer", rows),))


@dataclass(frozen=True)
class Box:
    paper: str
    section: str
    label: str
    value: str | None
    owed_by: str
    compulsory: bool


def test_any_boxes_make_a_form_that_says_who_owes_the_empty_ones():
    boxes = (Box("Register entry", "Sale", "Sold on", "1 May 2027", "", True),
             Box("Register entry", "Sale", "Sold to", None, "the customer", True),
             Box("Warranty", "", "Serial number", None, "the installer", False),
             Box("Register entry", "Unit", "Kind", "#kind", "", False))  # fmt: skip
    register, warranty = (form(name, [each for each in boxes if each.paper == name])
                          for name in dict.fromkeys(each.paper for each in boxes))  # fmt: skip
    words = bare_words(words_of(pdf(register, SOURCE)))
    assert (register.name, warranty.name) == ("form-register-entry", "form-warranty")
    assert bare_words("Sold to (must be filled) empty, owed by the customer") in words
    assert bare_words("4 boxes, 2") not in words
    assert bare_words("3 boxes, 2 of them filled; 1 that must be filled are empty.") in words
    assert "#kind" in words
    assert bare_words("empty, owed by the installer") in bare_words(words_of(pdf(warranty, SOURCE)))


def test_pdf_reads_back_without_repair():
    with pikepdf.open(io.BytesIO(pdf(Paper("p", "A paper", "", (Text("x"),)), SOURCE))) as read:
        assert read.check_pdf_syntax() == []


def test_a_quote_has_no_overhead_and_the_costs_have(folder):
    pack = pack_of(load(folder / "house_with_garage.yaml"), Pack)
    quote, costs = (bare_words(words_of(pdf(PAPERS[name](pack), SOURCE))) for name in ("quote", "costs"))
    assert pack.offer is not None
    due = f"£{pack.offer.quote.gross.high_gbp:,.2f}"
    assert "overhead" not in quote
    assert "margin" not in quote
    assert due in quote
    assert due in costs
    assert "overhead" in costs


def test_the_command_wants_a_date_and_a_known_name(folder, tmp_path):
    from click.testing import CliRunner

    from ampwright.deliver.cli import ampwright

    file = tmp_path / "job.yaml"
    file.write_text("version: 2\ntitle: no date\n")
    run = CliRunner().invoke(ampwright, ["papers", str(file), "--to", str(tmp_path / "out")])
    assert run.exit_code == 3
    assert "--date" in run.output
    run = CliRunner().invoke(ampwright, ["papers", str(file), "--only", "lables"])
    assert "There is no paper lables" in run.output
    run = CliRunner().invoke(ampwright, ["papers", str(file), "--only", "labels", "--date", "2027-01-02",
                                         "--to", str(tmp_path / "out")])  # fmt: skip
    assert run.exit_code == 0, run.output
    assert [each.name for each in (tmp_path / "out").iterdir()] == ["job-labels.pdf"]
    assert Path(tmp_path / "out" / "job-labels.pdf").read_bytes().startswith(b"%PDF-1.7")
