"""A firm's own figures by the page: put in, seen everywhere from then on, told what is wrong with, and taken back."""

from html import unescape

import pypdfium2
import pytest
from catalogues import written
from signing import Browser

from ampwright.deliver.figures import KINDS
from ampwright.deliver.store.figure_book import FigureBook
from ampwright.deliver.store.firms import FirmStore
from ampwright.deliver.web.app import LARGEST_BYTES_COUNT

BITS = KINDS["bits"].sort.text()
PRICES = KINDS["prices"].sort.text()
SMALL = written({"tails": {"offered_where": ""}})
NUMBERS = iter(range(10_000))


@pytest.fixture
def put(client, app):
    """Sends figures as the page does, by default on what is in use."""

    def sent(kind, text, base=None, **form):
        newest = FigureBook(app.state.site.store).newest().get(kind)
        data = {"base": str(newest.number if newest and base is None else base or 0),
                "operation": f"operation-{next(NUMBERS)}", **form}  # fmt: skip
        where = f"/figures/{kind}" if text is not None else f"/figures/{kind}/take-back"
        files = None if text is None else {"file": ("mine.csv", text.encode() if isinstance(text, str) else text)}
        answer = client.post(where, data=data, files=files)
        answer.said = unescape(answer.text)
        return answer

    return sent


def kept(app):
    return {kind: each.text for kind, each in FigureBook(app.state.site.store).newest().items()}


def test_it_is_found_from_where_figures_are_shown_and_begins_with_what_is_shipped(client, terrace):
    for page in ("/", f"{terrace}/price", f"{terrace}/way", f"{terrace}/papers", f"{terrace}/design"):
        assert 'href="/figures"' in client.get(page).text, page
    text = client.get("/figures").text
    assert text.count("In use: those that come with the program.") == len(KINDS) == 4
    for name, kind in KINDS.items():
        answer = client.get(f"/figures/{name}/in-use.csv")
        assert (answer.text, answer.headers["content-type"]) == (kind.sort.text(), "text/csv; charset=utf-8")
        assert f'filename="{kind.file}"' in answer.headers["content-disposition"]


def test_ones_own_are_in_use_until_they_are_taken_back_and_each_version_stays(client, app, put):
    own = BITS.replace("final,16,400", "final,17,400")
    page = put("bits", "\ufeff" + own)
    assert (page.status_code, "In use: your own, put in by Ann" in page.said) == (200, True)
    assert client.get("/figures/bits/in-use.csv").text == client.get("/figures/bits/1.csv").text == own
    assert "taken back to by Ann" in put("bits", None).said
    assert client.get("/figures/bits/in-use.csv").text == client.get("/figures/bits/shipped.csv").text == BITS
    assert client.get("/figures/bits/1.csv").text == own
    assert kept(app) == {"bits": None}
    for gone in ("bits/2", "bits/7", "bits/x", "nails/in-use"):
        assert client.get(f"/figures/{gone}.csv").status_code == 404


def test_every_fault_is_told_by_its_line_and_what_was_sent_can_be_put_right_in_place(client, app, put):
    wrong = BITS.replace("pilot,8,", "auger,8,").replace("final,16,400", "final,sixteen,400")
    page = put("bits", wrong)
    assert page.status_code == 422
    assert "Line 2: kind: 'auger' is none of pilot, final, sleeve" in page.said
    assert "Line 4: diameter_mm: 'sixteen' will not do" in page.said
    assert f">\n{wrong.rstrip()}" in page.said
    assert kept(app) == {}
    right = wrong.replace("auger", "pilot").replace("sixteen", "18")
    form = {"base": "0", "operation": "put-right-01", "text": right.replace("\n", "\r\n")}
    assert "In use: your own" in client.post("/figures/bits", data=form).text


NOT_TAKEN = {
    "another kind": (PRICES.encode(), "this is a price book and not a list of bits; put it in under Price book"),
    "no table": (b"version: 2\ntitle: a job\n", "this is not a list of bits: the first line of one names the columns"),
    "not text": (b"PK\x03\x04\xff\xfe", "The file mine.csv is not plain text"),
    "nothing": (b"", "Nothing was sent; choose a file first"),
    "a formula": (BITS.replace(",,\"list the", ",,\"=list the").encode(), "Line 2: note: a spreadsheet would take"),
    "no sign": (BITS.replace("list the", "li\x00st the").encode(), "Line 2: this holds a sign that cannot be printed"),
    "too long": (BITS.encode() + b"\n" * 2000, "This is too long: at most 2,000 lines"),
}


@pytest.mark.parametrize("sent", NOT_TAKEN)
def test_what_cannot_be_figures_of_that_kind_is_said_to_be_so(app, put, sent):
    content, says = NOT_TAKEN[sent]
    page = put("bits", content)
    assert page.status_code == 422
    assert says in page.said
    assert kept(app) == {}


def test_a_file_over_the_limit_is_refused_before_it_is_read(put):
    assert put("bits", "x" * LARGEST_BYTES_COUNT).status_code == 413


def test_what_somebody_else_put_in_since_the_page_was_loaded_is_not_replaced(app, put):
    assert put("bits", BITS + "final,60,900,,\n").status_code == 200
    late = BITS + "final,70,900,,\n"
    page = put("bits", late, base=0)
    assert (page.status_code, "Ann put in other figures since" in page.said) == (409, True)
    assert "final,70,900,," in page.said
    assert "final,60" in kept(app)["bits"]


def test_prices_go_by_them_and_say_so_and_a_search_with_others_is_not_shown(client, terrace, put):
    put("catalogue", SMALL)
    client.post(f"{terrace}/designs/search", data={"for": "price"})
    before = unescape(client.get(f"{terrace}/price").text)
    assert "The catalogue is your own; the price book is the one that comes with the program, invented." in before
    put("prices", PRICES.replace("margin_percent,,,10", "margin_percent,,,50"))
    assert "To pay" not in client.get(f"{terrace}/price").text
    assert "Take design" not in client.get(f"{terrace}/design").text
    client.post(f"{terrace}/designs/search", data={"for": "price"})
    after = unescape(client.get(f"{terrace}/price").text)
    assert "Catalogue and price book are your own." in after
    assert "the catalogue is your own." in client.get(f"{terrace}/design").text
    to_pay = [each.split("To pay: ")[1].split(".")[0] for each in (before, after)]
    assert to_pay[0] != to_pay[1]
    put("prices", None)
    assert "To pay: " + to_pay[0] in client.get(f"{terrace}/price").text


def test_ways_and_drawings_go_by_them_and_say_so(client, house, put):
    drawn = client.get(f"{house}/way/1.svg").text
    assert "your own" not in drawn
    wide = "kind,diameter_mm,usable_mm,bore_mm,note\npilot,9,900,,\nfinal,61,900,,\nsleeve,60,,55,\n"
    put("bits", wide)
    page = unescape(client.get(f"{house}/way").text)
    assert "pilot 9 mm right through, then 61 mm" in page
    assert "Bits are your own; efforts are those that come with the program" in page
    assert "Bits are your own" in client.get(f"{house}/way/1.svg").text
    slow = KINDS["efforts"].sort.text().replace("outside,8,", "outside,800,")
    hours = page.split("about ")[1].split(" h")[0]
    put("efforts", slow)
    later = unescape(client.get(f"{house}/way").text)
    assert "Efforts and bits are your own." in later
    assert float(later.split("about ")[1].split(" h")[0]) > float(hours)
    put("bits", None)
    put("efforts", None)
    assert client.get(f"{house}/way/1.svg").text == drawn


def test_papers_are_made_anew_by_them_and_say_so(client, house, put):
    client.post(f"{house}/papers")
    assert client.get(f"{house}/papers/materials.pdf").status_code == 200
    put("prices", PRICES.replace("margin_percent,,,10", "margin_percent,,,50"))
    assert client.get(f"{house}/papers/materials.pdf").status_code == 404
    assert "Make the papers" in client.get(f"{house}/papers").text
    made = client.post(f"{house}/papers").text
    assert "The price book is your own; the catalogue is the one that comes with the program, invented." in made
    for paper in ("costs", "materials"):
        pages = pypdfium2.PdfDocument(client.get(f"{house}/papers/{paper}.pdf").content)
        text = " ".join(" ".join(each.get_textpage().get_text_range() for each in pages).split())
        assert "The price book is your own; the catalogue is the one that comes with the program" in text, paper


def test_what_cannot_be_read_any_more_stops_the_price_and_says_where_to_put_it_right(client, app, terrace, put):
    store = app.state.site.store
    FigureBook(store).put("prices", "sort,code\n", base=0, operation="an-older-one", who="Ann", origin="a test")
    answer = client.get(f"{terrace}/price")
    assert answer.status_code == 409
    assert "Your own figures cannot be read any more" in answer.text
    assert "the first line must name the columns sort, code, pounds" in answer.text
    assert client.get(terrace).status_code == 200
    assert "These cannot be read any more" in client.get("/figures").text
    put("prices", None)
    assert client.get(f"{terrace}/price").status_code == 200


def test_another_firm_sees_none_of_them_and_a_reader_cannot_change_them(firms):
    own = BITS + "final,60,900,,\n"
    put_in = Browser(firms, "designer").give("/figures/bits", base="0", operation="operation-x", text=own)
    assert put_in.status_code == 303
    assert 'href="/figures"' in Browser(firms, "owner").get("/people").text
    reader, other = Browser(firms, "reader"), Browser(firms, "other-owner")
    assert "In use: your own, put in by Designer One" in reader.get("/figures").text
    assert "Use these from now on" not in reader.get("/figures").text
    assert reader.give("/figures/bits/take-back", base="1", operation="operation-y").status_code == 403
    assert "your own, put in" not in other.get("/figures").text
    assert other.get("/figures/bits/in-use.csv").text == BITS
    assert other.get("/figures/bits/1.csv").status_code == 404
    assert other.give("/figures/bits/take-back", base="1", operation="operation-z").status_code == 303
    firm = firms.state.door.people.named("owner").firm
    assert FigureBook(FirmStore(firms.state.site.store, firm)).newest()["bits"].text == own
