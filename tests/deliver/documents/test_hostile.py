"""Whatever text stands in a field prints as that text: read back by PDFium, which had no part in it."""

from __future__ import annotations

import datetime

import pypdfium2
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some

from ampwright.deliver.documents.blocks import (
    Block,
    Boxes,
    BoxRow,
    Caution,
    Heading,
    Judged,
    Label,
    Listing,
    Note,
    Paper,
    Stretch,
    Table,
    Text,
)
from ampwright.deliver.documents.printing import Source, pdf, printable

DAY = datetime.date(2026, 11, 21)
MARKUP = "#$\\`*_@<>[]{}\"'~/=-+.;:!?%&^|()0 \n"
STEERS = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u200b\u00ad\ufeff\x00\x07\x1b"
CODE = ("#panic(1)", '#import "x"', '#read("/etc/passwd")', "$x^2$", "\\u{41}", "#{", "]]", "*/", "```", "<a>", "@b")
HOSTILE = some.one_of(
    some.text(some.sampled_from(MARKUP + STEERS + "aZ9é\u05d0\u0627\u6f22\U0001f600"), min_size=1, max_size=60),
    some.lists(some.sampled_from(CODE), min_size=1, max_size=6).map("".join),
)
PLACES_COUNT = 12
SEEN_AS = str.maketrans("", "", "\u00ad\u0002\ufffe\u200b\u2060")


def everywhere(text: str) -> tuple[Block, ...]:
    """The text in every kind of block, at every place that a block has for words."""
    return (Heading(text), Text(text), Note(text), Caution(text), Listing((text,)), Listing((text,), numbered=True),
            Table((text,), ((text,),), (1,)), Label(text), Boxes((BoxRow(text, text, "x", True),)),
            Judged("Is it?", "MET", text, "1.2", working=(Stretch("under", (text,)),)))  # fmt: skip


def read_back(text: str) -> str:
    made = pdf(Paper("p", "Title", "", everywhere(text)), Source("A job", DAY, (), "job.yaml", "version: 2\n"))
    return bare("".join(leaf.get_textpage().get_text_range() for leaf in pypdfium2.PdfDocument(made)))


def bare(text: str) -> str:
    """Without white space, the signs of a broken line, and the hyphen that PDFium takes for one at its end."""
    return "".join(text.translate(SEEN_AS).replace("-", "").split())


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(HOSTILE)
def test_any_text_prints_as_itself_in_every_kind_of_block(text):
    wanted = bare(printable(text))
    assert read_back(text).count(wanted) >= (PLACES_COUNT if wanted else 0)


@settings(max_examples=200, deadline=None)
@given(some.text(max_size=200))
def test_no_sign_is_lost_on_the_way_to_the_page(text):
    """A sign stands as itself or as its number; what is added is a place to break a long word."""
    shown = printable(text).replace("\u200b", "").replace("\u2060", "")
    for sign in text:
        number = f"[U+{ord(sign):04X}]"
        assert shown.startswith((sign, number))
        shown = shown[len(sign) if shown.startswith(sign) else len(number):]
    assert shown == ""


def test_ten_thousand_signs_stand_on_the_page():
    for text in ("W" * 10_000, "#" * 10_000, "word " * 2_000, "漢" * 1_000, f"{'W' * 40} " * 300):
        made = pdf(Paper("p", "Title", "", (Text(text), Table(("a", "b"), ((text, "x"),), (1, 9)))),
                   Source(text, DAY, (text,), "job.yaml", "version: 2\n"))  # fmt: skip
        opened = pypdfium2.PdfDocument(made)
        told = bare("".join(leaf.get_textpage().get_text_range() for leaf in opened))
        sign = "[U+6F22]" if text[0] == "漢" else text[0]
        assert told.count(sign) >= 3 * text.count(text[0])
        for leaf in opened:
            image = leaf.render(scale=0.5).to_pil().convert("L")
            assert image.crop((image.width - 17, 0, image.width, image.height)).getextrema()[0] > 250
