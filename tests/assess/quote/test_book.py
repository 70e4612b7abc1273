"""The price book: every fault at once, with its line."""

import csv
from decimal import Decimal
from importlib import resources

import pytest

from ampwright.assess.materials.items import codes
from ampwright.assess.quote.book import SORT, read_price_book
from ampwright.assess.quote.lines import BY_THE_BOOK
from ampwright.assess.user_csv import BadTable

HEAD = ",".join(SORT.columns)
FIRM = [f"firm,{code},,,{value},," for code, value in
        (("overhead_percent", 12), ("margin_percent", 10), ("valid_days", 30), ("charges_vat", 1))]  # fmt: skip


def faults(*rows):
    with pytest.raises(BadTable) as bad:
        read_price_book("\n".join([HEAD, *rows]))
    return [(each.line, each.path, each.says) for each in bad.value.faults]


def test_the_one_that_is_shipped_says_that_its_prices_are_invented():
    book = read_price_book()
    assert book.parts["cable clip"].pounds_gbp == Decimal("0.06")
    assert {code for code, each in codes().items() if each.group in BY_THE_BOOK
            and not code.startswith("joint box")} <= set(book.parts)  # fmt: skip


def test_every_row_with_a_price_is_marked_invented():
    text = resources.files("ampwright.assess").joinpath("price_book.csv").read_text(encoding="utf-8")
    assert all("invented" in row["note"] for row in csv.DictReader(text.splitlines()) if row["pounds"])


def test_all_that_is_wrong_is_said_at_once():
    found = faults(
        *FIRM[:2], "firm,valid_days,,,0.5,,", "part,cable clipp,0.06,,,,", "part,cable cleat,six,,,,",
        "part,cable tie,,,,,", "prat,cable tie,1,,,,", "extra,rod,10,ten,,,", "part,cable clip,0.066,,,,",
        "exclusion,x,,,,,", "part,conduit saddle,1,,,,", "part,conduit saddle,2,,,,",
    )  # fmt: skip
    said = "\n".join(f"{line} {path}: {says}" for line, path, says in found)
    for words in ("4 value: '0.5' will not do; write a whole number from 1 to 365", "did you mean cable clip?",
                  "6 pounds: 'six' is not understood", "7 pounds: a part needs its price", "'prat' is none of",
                  "9 minutes: 'ten' is not understood; write whole minutes", "10 pounds: '0.066' is not understood",
                  "11 words: say what it is", "13 code: 'conduit saddle' stands already on line 12",
                  "there is no row of sort firm with charges_vat"):  # fmt: skip
        assert words in said


def test_a_file_that_is_none(tmp_path):
    (tmp_path / "book.csv").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BadTable, match="cannot be read as a price book"):
        read_price_book(tmp_path / "book.csv")
    with pytest.raises(BadTable, match="it cannot be opened"):
        read_price_book(tmp_path / "none.csv")
    with pytest.raises(BadTable, match="the first line must name the columns"):
        read_price_book("sort,code\npart,x")


def test_a_figure_out_of_reason_is_refused():
    assert any("from 0 to 90" in says for _, _, says in faults("firm,margin_percent,,,100,,", FIRM[0], *FIRM[2:]))
