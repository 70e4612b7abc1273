"""The papers by the page, read back by PDFium: why they are drafts, and what they wait for."""

from html import unescape

import pypdfium2
import pytest

from ampwright.deliver.documents.book import PAPERS


@pytest.fixture
def made(client, house):
    """The page once the papers were made."""
    return unescape(client.post(f"{house}/papers").text)


def test_nothing_is_made_unasked(client, house):
    page = client.get(f"{house}/papers").text
    assert "Make the papers" in page
    assert ".pdf" not in page
    assert client.get(f"{house}/papers/report.pdf").status_code == 404


def test_every_paper_is_there_and_is_of_this_job(client, house, record, made):
    for name in PAPERS:
        assert f'href="{house}/papers/{name}.pdf"' in made
        answer = client.get(f"{house}/papers/{name}.pdf")
        assert answer.headers["content-type"] == "application/pdf"
        text = pypdfium2.PdfDocument(answer.content)[0].get_textpage().get_text_range()
        assert record(house).title.split(":")[0] in text
    for words in ("A draft is not to be issued", "Draft: waits for", "compulsory boxes are filled, from"):
        assert words in made
    assert client.get(f"{house}/papers/network.csv").headers["content-type"].startswith("text/csv")


def test_each_form_that_the_job_owes_is_there_too_and_no_other(client, house, made):
    for name in ("form-14-building-regulation-notification", "form-18-seller-records-smart-charge-point-rules",
                 "form-10-schedule-of-inspections", "form-19-warranty-registration"):  # fmt: skip
        assert f'href="{house}/papers/{name}.pdf"' in made
        assert client.get(f"{house}/papers/{name}.pdf").content.startswith(b"%PDF")
    assert "form-17-grant-claim" not in made  # nobody wants a grant for this job
    assert client.get(f"{house}/papers/form-17-grant-claim.pdf").status_code == 404


def test_papers_of_a_job_that_was_changed_since_are_gone(client, house, hidden, made):
    page = client.get(f"{house}/part/site").text
    client.post(f"{house}/part/site", data=hidden(page) | {"title": "Another name"})
    assert client.get(f"{house}/papers/report.pdf").status_code == 404
    assert "Make the papers" in client.get(f"{house}/papers").text


@pytest.mark.parametrize("file", ["cupboard.pdf", "..%2f..%2fjobs.db", "report"])
def test_a_paper_that_there_is_not(client, house, made, file):
    assert client.get(f"{house}/papers/{file}").status_code == 404
