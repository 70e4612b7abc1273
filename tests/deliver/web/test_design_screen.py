"""The choice of design and its price: searched once, shown in both, written to the record when chosen."""

from dataclasses import replace
from html import unescape

import pytest

from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.design import propose
from ampwright.assess.quote.book import read_price_book
from ampwright.deliver.design_screen import price_words
from ampwright.deliver.offer import Offer
from ampwright.deliver.quote import band, headline
from ampwright.deliver.web.said import on_page


@pytest.fixture
def searched(client, house):
    return unescape(client.post(f"{house}/designs/search", data={"for": "design"}).text)


@pytest.fixture
def proposal(record, house):
    return propose(record(house), read_catalogue(None))


def test_nothing_is_shown_before_the_search(client, house):
    assert "Search the catalogue" in client.get(f"{house}/design").text
    assert "Find what is to be priced" in client.get(f"{house}/price").text


def test_designs_and_price_are_those_of_the_command(client, house, searched, proposal):
    for why, design in proposal.best:
        assert why[1:] in searched
        assert f"{price_words(design.price)} with VAT" in searched
        assert design.words[1:] in searched
    assert f"{proposal.count:,} combinations" in searched
    assert "Why others are out" in searched
    offer = Offer(proposal, 2, read_catalogue(None), read_price_book(None))
    page = unescape(client.get(f"{house}/price?design=2").text)
    assert on_page(headline(offer)) in page
    for each in offer.quote.lines:
        assert each.words[1:] in page
        assert band(each.cost) in page
    assert band(offer.quote.gross) in page


def test_a_design_is_chosen_and_taken_back(client, house, searched, proposal, hidden, record):
    before = record(house)
    told = hidden(searched)
    done = client.post(f"{house}/design", data={"base": told["base"], "operation": "d" * 32, "number": "2"})
    assert record(house) == replace(proposal.best[1][1].job, tests=before.tests)
    assert record(house) != before
    assert "What it changed" in done.text
    client.post(f"{house}/undo", data={"of": "d" * 32, "operation": "u" * 32})
    assert record(house) == before


def test_a_design_that_is_not_there_changes_nothing_and_has_no_price(client, house, searched, hidden, record):
    before = record(house)
    for number in ("0", "99", "one", ""):
        answer = client.post(f"{house}/design", data={"base": hidden(searched)["base"], "number": number})
        assert answer.status_code == 409
        assert record(house) == before
        assert client.get(f"{house}/price?design={number}").status_code == 404


def test_none_is_taken_that_was_not_searched(client, house, hidden, record):
    answer = client.post(f"{house}/design", data={"base": "1", "number": "1"})
    assert answer.status_code == 409
    assert "searched again" in answer.text


def test_a_job_that_says_nothing_cannot_be_searched_and_says_why(client):
    client.post("/jobs", data={"title": "a bare job", "operation": "n" * 32})
    address = [each for each in client.get("/").text.split('"') if each.startswith("/jobs/")][-1]
    page = client.post(f"{address}/designs/search", data={"for": "design"}).text
    assert "Nothing can be searched yet" in page
    assert "There is no price yet" in client.get(f"{address}/price").text
