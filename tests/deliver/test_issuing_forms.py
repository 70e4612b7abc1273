"""The forms that go out as they are, issued and numbered as the papers are, read back by pypdfium2 (PDFium)."""

from __future__ import annotations

import pypdfium2
import pytest
from drawn_photos import jpeg
from issuing import DAY, ready
from own_prices import own_prices

from ampwright.deliver.documents.book import PAPERS, SENT, every_paper, to_issue
from ampwright.deliver.documents.draft import Gate
from ampwright.deliver.firm_figures import NO_OTHERS
from ampwright.deliver.issuing import NotReady, issue, printed
from ampwright.deliver.standing import differs_words, standings
from ampwright.deliver.store.figure_book import FigureBook
from ampwright.deliver.store.ledger import Ledger
from ampwright.deliver.web.images import redrawn

GRANT = "form-17-grant-claim"
PRICED = (GRANT, "form-14-building-regulation-notification")
FORMS = tuple(each for each in to_issue() if each not in PAPERS)


@pytest.fixture
def job(store):
    for number, (kind, text) in enumerate(own_prices().items()):
        FigureBook(store).put(kind, text, base=0, operation=f"own-prices-{number}", who="Ann", origin="a test")
    return ready(store)


def keep(store, job, number):
    sent = jpeg(number)
    store.photos.add(job, "photos.finished", redrawn(sent), sent=sent, operation=f"photo-no-{number}", who="Ann",
                     origin="here")  # fmt: skip


def of(store, job, *kinds, own=NO_OTHERS):
    return issue(store, job, kinds, DAY, "Ann", own=own)


def words(made):
    return " ".join("".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(made)).split())


def test_the_four_forms_that_no_paper_has_in_another_layout_may_be_issued():
    assert [each[:7] for each in FORMS] == [f"form-{number}" for number in SENT]
    assert set(to_issue()) < set(every_paper())


def test_each_is_issued_once_with_a_number_of_its_own(store, job):
    made = of(store, job, *FORMS)
    assert [each.label for each in made] == [f"{each} 2026-0001" for each in FORMS]
    for each in made:
        text = words(printed(store, each.number))
        assert f"Issued as No. {each.label}." in text
        assert "DRAFT" not in text
    assert of(store, job, *FORMS) == made
    assert Ledger(store.engine).check() is None


def test_what_has_a_sum_in_it_by_invented_prices_is_not_issued(store):
    name = ready(store)
    for kind in PRICED:
        with pytest.raises(NotReady) as wrong:
            of(store, name, kind)
        assert {each.gate for each in wrong.value.reasons} == {Gate.PRICE}
    assert of(store, name, *(each for each in FORMS if each not in PRICED))


def test_a_claim_that_nobody_makes_is_not_issued(store, job):
    _, base = store.read(job)
    store.change(job, {"dates.grant_applied": None}, base=base, operation="no-grant", who="Ann", origin="here")
    with pytest.raises(NotReady) as wrong:
        of(store, job, GRANT)
    assert "The job owes no paper 17: nothing in it asks for one." in [each.says for each in wrong.value.reasons]


def test_another_photograph_makes_another_claim_and_the_old_one_keeps_its_own(store, job):
    keep(store, job, 3)
    (first, warranty) = of(store, job, GRANT, "form-19-warranty-registration")
    assert of(store, job, GRANT) == (first,)
    assert all(each.agrees for each in standings(store, job))
    keep(store, job, 28)
    told = {each.issued.kind: differs_words(each) for each in standings(store, job)}
    assert told == {GRANT: "no longer agrees with the job: made with other figures of your own, or other photographs, "
                           "than are in use now", warranty.kind: "agrees with the job"}  # fmt: skip
    (second,) = of(store, job, GRANT)
    assert (second.label, second.supersedes) == (f"{GRANT} 2026-0002", first.number)
    old = printed(store, first.number)
    assert "SUPERSEDED" in words(old)
    assert [shown(old), shown(printed(store, second.number))] == [[pytest.approx(24, abs=4)],
                                                                  [pytest.approx(224, abs=4)]]  # fmt: skip
    assert all(each.agrees for each in standings(store, job) if not each.by)


def shown(made):
    """The red of a corner of each picture, which the drawn photographs are told apart by."""
    return [each.get_bitmap().to_pil().convert("RGB").getpixel((20, 20))[0]
            for leaf in pypdfium2.PdfDocument(made) for each in leaf.get_objects(max_depth=6)
            if isinstance(each, pypdfium2.PdfImage)]  # fmt: skip
