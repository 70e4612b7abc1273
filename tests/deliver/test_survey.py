"""The visit list as it is shown, on the invented terrace and on small cases."""

import json
import re
from functools import cache
from importlib import resources

import pytest
from jobs import house

from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.visit import survey
from ampwright.deliver.screen import WIDTH
from ampwright.deliver.survey_machine import as_json
from ampwright.deliver.survey_screen import drawn_in, survey_text
from ampwright.job.files import parse
from ampwright.reading import assumed


@cache
def terrace():
    folder = resources.files("ampwright.deliver.demo")
    return survey(parse(folder.joinpath("terrace.yaml").read_text(encoding="utf-8")), read_catalogue())


@cache
def text():
    return survey_text(terrace())


@cache
def unpriced():
    return survey(house({"route": (), "supply.cutout.rating_a": assumed(60, 100)}), read_catalogue())


def test_stands_in_the_order_of_the_visit():
    headings = ["BEFORE YOU GO", "OUTSIDE", "AT THE METER AND THE CUT-OUT", "AT THE BOARD", "ALONG THE ROUTE",
                "WHERE THE CAR STANDS", "LAST, WITH THE SUPPLY DEAD OR AS LIVE TESTS"]  # fmt: skip

    assert [line for line in text().splitlines() if line in headings] == headings


def test_numbers_every_thing_once_and_in_order():
    numbers = [int(each) for each in re.findall(r"^ {0,2}(\d+)\. ", text(), re.MULTILINE)]

    assert numbers == list(range(1, len(terrace().items) + 1))


def test_says_what_how_with_what_and_why():
    flat = " ".join(text().split())

    assert "size of the main bonding conductor: read the sheath or gauge it; prove that it is continuous (eye)" in flat
    assert "Settles: Is the main bonding large enough for the supply's earth?" in flat
    # 10 mm² for a supply neutral up to 35 mm², BS 7671 table 54.8, is the smallest that the rule takes
    assert "(new main bonding of 10 mm²); from 10 to 35 mm²" in flat


def test_says_the_price_that_a_free_way_decides():
    # The shipped catalogue's small board against the free way, read from the rows: pence and minutes, VAT at 20 %
    free, new = (next(each for each in read_catalogue().axis("board") if each.words.startswith(words))
                 for words in ("a free way", "a small board"))  # fmt: skip
    work_pence = (new.fixed.minutes - free.fixed.minutes) * read_catalogue().labour_pence_per_h / 60
    difference = 1.2 * (new.fixed.pence - free.fixed.pence + work_pence)
    item = next(each for each in terrace().items if each.path == "installation.spare_way")

    assert item.prices[-1] - item.prices[0] == pytest.approx(difference, abs=1)
    assert "if no £" in text()


def test_a_caution_stands_in_full_once_and_is_called_back_after():
    flat = " ".join(text().split())

    assert flat.count("CAUTION: The cut-out, the meter and their seals") == 1
    assert "CAUTION: Avoid live work where the value can be calculated" in flat
    assert "CAUTION, as above: Smell gas" in flat


def test_says_what_need_not_be_looked_at_and_that_tests_are_made_all_the_same():
    flat = " ".join(text().split())

    needless = flat.partition("Need not be looked at for these designs:")[2].partition(". That is")[0]
    assert "earth fault loop impedance at the cut-out, Ze" in needless
    assert "the tests and records of the finished work are made all the same" in flat
    assert "the price moves with it: length of this stretch (route, no. 1), from £" in flat


def test_without_a_search_it_says_why_and_names_no_price():
    shown = " ".join(survey_text(unpriced()).split())

    assert "From the job as entered, without money. The route is wanted" in shown
    assert "rating of the fuse in the cut-out" in shown
    assert "£" not in shown


def test_nothing_left_to_find_out_is_said():
    known = house()

    assert "Nothing to find out" in survey_text(survey(known, read_catalogue()))


@pytest.mark.parametrize("shown", [text, lambda: survey_text(unpriced())])
def test_fits_the_screen(shown):
    assert max(map(len, shown().splitlines())) <= WIDTH


@pytest.mark.parametrize(("ends", "shown"), [
    ((76.0, 83.95999999899999), ("76", "83.95")), ((75.999999999, 100.0), ("76", "100")), ((1.0, 1.0), ("1", "1")),
    ((1.23456, 1.23457), ("1.23456", "1.23457")), ((0.0, 0.8), ("0", "0.8")),
])  # fmt: skip
def test_a_range_is_rounded_inwards(ends, shown):
    assert drawn_in(*ends) == shown


def test_json_has_a_stable_shape():
    told = json.loads(json.dumps(as_json(terrace())))
    item = next(each for stage in told["stages"] for each in stage["items"] if each["path"] == "site.listed")

    assert list(told) == ["format", "title", "reference", "priced", "why_not_priced", "stages", "moves_price",
                          "need_not_be_looked_at", "taken_as_usual", "chosen_with_the_design"]  # fmt: skip
    assert list(item) == ["path", "what", "how", "instrument", "asked_by", "settles", "may_settle", "asked_by_a_design",
                          "decides", "turns", "cautions"]  # fmt: skip
    assert [(each["from"], each["price_pence"] is None) for each in item["decides"]] == [(True, True), (False, False)]
    assert told["priced"] is True


def test_json_without_prices_says_why():
    told = as_json(unpriced())

    assert (told["priced"], told["moves_price"]) == (False, [])
    assert told["why_not_priced"].startswith("The route is wanted")
