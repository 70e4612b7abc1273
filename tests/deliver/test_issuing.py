"""Papers issued from the store, read back by pikepdf (qpdf) and pypdfium2 (PDFium), which did not make them."""

from __future__ import annotations

import io
import sqlite3

import pikepdf
import pypdfium2
import pytest
from issuing import DAY, STROKES, confirm, ready, signs
from own_prices import own_prices

from ampwright.deliver.demo import demo_files
from ampwright.deliver.documents.draft import Gate
from ampwright.deliver.issuing import USUAL, CannotSign, NotReady, issue, pack_of, printed, sign, to_be_signed
from ampwright.deliver.standing import standings
from ampwright.deliver.store.ledger import Ledger
from ampwright.deliver.store.store import Store
from ampwright.deliver.store.trust import BadSignature, strokes_of


@pytest.fixture
def job(store):
    return ready(store)


def words(made):
    return " ".join("".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(made)).split())


def change(store, job, new, operation="later"):
    store.change(job, new, base=store.read(job)[1], operation=operation, who="Ann", origin="here")


def of(store, job, kind="tests"):
    (made,) = issue(store, job, (kind,), DAY, "Ann")
    return made


def test_the_certificate_is_issued_numbered_and_signed(store, job):
    made = of(store, job)
    paper = printed(store, made.number)

    assert made.label == "tests 2026-0001"
    assert "No. tests 2026-0001" in words(paper)
    assert "DRAFT" not in words(paper)
    assert "Built by B. Specimen, signed" in words(paper)
    assert Ledger(store.engine).check() is None
    assert paper is not None
    with pikepdf.open(io.BytesIO(paper)) as read:
        told = read.open_metadata()
        assert (told["pdfaid:part"], told["pdfaid:conformance"], told["pdfuaid:part"]) == ("3", "A", "1")
        alts = [str(each["/Alt"]) for each in structure(read.Root.StructTreeRoot) if "/Alt" in each]
        assert alts == ["Signature of B. Specimen, drawn by hand"] * 3
        assert not [each for page in read.pages for each in page.get_images()]


def structure(element):
    below = element.get("/K")
    for each in below if isinstance(below, pikepdf.Array) else [below]:
        if isinstance(each, pikepdf.Dictionary):
            yield each
            yield from structure(each)


def test_the_same_state_is_issued_once(store, job):
    assert of(store, job) == of(store, job)
    assert len(Ledger(store.engine).rows()) == 1


def test_a_quote_is_issued_by_ones_own_prices_alone_and_anew_by_others(store, job):
    with pytest.raises(NotReady) as wrong:
        of(store, job, "quote")
    assert {each.gate for each in wrong.value.reasons} == {Gate.PRICE}
    own = own_prices()
    (made,) = issue(store, job, ("quote",), DAY, "Ann", own=own)
    assert "a book of our own" in words(printed(store, made.number))
    assert "invented" not in words(printed(store, made.number))
    assert issue(store, job, ("quote",), DAY, "Ann", own=own) == (made,)
    other = own | {"prices": own["prices"].replace("a book of our own", "another book")}
    assert issue(store, job, ("quote",), DAY, "Ann", own=other)[0].supersedes == made.number
    assert issue(store, job, ("tests",), DAY, "Ann", own=own) == issue(store, job, ("tests",), DAY, "Ann")


def test_a_changed_job_says_which_paper_no_longer_agrees_and_in_which_fields(store, job):
    of(store, job)
    of(store, job, "labels")
    assert [each.differs for each in standings(store, job)] == [(), ()]

    change(store, job, {"tests.insulation_megohm": 150, "dates.enquired": "2026-05-02"})
    found = {each.issued.kind: each.differs for each in standings(store, job)}
    assert found == {"labels": (), "tests": ("tests.insulation_megohm",)}


def test_a_paper_that_hangs_on_the_whole_job_is_compared_with_all_of_it(store, job):
    of(store, job, "handover")
    change(store, job, {"dates.enquired": "2026-05-02"})
    assert standings(store, job)[0].differs == ("dates.enquired",)


def test_what_was_changed_is_unsigned_again_and_taken_back_it_is_signed(store, job):
    change(store, job, {"tests.insulation_megohm": 150})
    assert {each.gate for each in pack_of(store, job).gates} == {Gate.PERSON, Gate.PRICE}
    with pytest.raises(NotReady):
        of(store, job)
    store.undo(job, "later", operation="back", who="Ann", origin="here")
    assert pack_of(store, job).held_by(*USUAL) == ()


def test_what_does_not_stand_on_the_certificate_leaves_it_signed(store, job):
    change(store, job, {"dates.enquired": "2026-05-02"})
    assert pack_of(store, job).held_by(*USUAL) == ()


def test_a_new_issue_supersedes_and_the_old_one_prints_as_superseded(store, job):
    first = of(store, job)
    as_issued = printed(store, first.number)
    change(store, job, {"tests.insulation_megohm": 150})
    signs(store, job)
    second = of(store, job)

    assert (second.supersedes, second.label) == (first.number, "tests 2026-0002")
    assert "supersedes No. tests 2026-0001" in words(printed(store, second.number))
    old = words(printed(store, first.number))
    assert "SUPERSEDED No. tests 2026-0001" in old
    assert "No. tests 2026-0002 stands instead" in old
    kept = Ledger(store.engine).paper(first.number)
    assert kept is not None
    assert kept.body == as_issued
    assert [(each.issued.number, each.by and each.by.number) for each in standings(store, job)] == [(2, None), (1, 2)]


def test_nothing_is_issued_without_every_gate_passed(store):
    name = store.take_in(demo_files()["bungalow.yaml"], operation="first", who="Ann", origin="a file")
    with pytest.raises(NotReady) as wrong:
        of(store, name)
    assert {each.gate for each in wrong.value.reasons} == {Gate.PERSON, Gate.MEMORY}
    confirm(store, name)
    with pytest.raises(NotReady) as wrong:
        of(store, name)
    assert {each.gate for each in wrong.value.reasons} == {Gate.PERSON}
    assert Ledger(store.engine).rows() == ()
    signs(store, name)
    assert of(store, name).serial == 1


def test_only_a_person_of_the_job_signs_what_they_saw(store, job):
    now = to_be_signed(store.read(job)[0])
    told = {"seen": now, "strokes": STROKES, "typed": "", "who": "Ann"}
    with pytest.raises(CannotSign, match="names nobody"):
        sign(store, job, "inspector", **told)
    with pytest.raises(CannotSign, match="changed meanwhile"):
        sign(store, job, "installer", **told | {"seen": "0" * 64})
    with pytest.raises(CannotSign, match="type the name"):
        sign(store, job, "installer", **told | {"strokes": "", "typed": "Somebody Else"})
    sign(store, job, "installer", **told | {"strokes": "", "typed": " b.  specimen "})
    assert pack_of(store, job).signed[0].lines == ()
    assert "(name typed as signature)" in words(printed(store, of(store, job).number))


def test_it_is_printed_on_whose_machine_a_signature_was_made(store, job):
    assert "(on this machine without an account, under the name Ann)" in words(printed(store, of(store, job).number))


def test_a_signature_fills_its_boxes_without_typing(store):
    text = demo_files()["bungalow.yaml"].replace("    signature: D-004_installer.svg\n", "")
    name = store.take_in(text, operation="first", who="Ann", origin="a file")
    before = signature_boxes(store, name)
    assert len(before) > 2
    assert not any(before.values())
    signs(store, name)
    after = signature_boxes(store, name)
    assert after.keys() == before.keys()
    assert all(value.startswith("signed ") for value in after.values())
    change(store, name, {"tests.insulation_megohm": 150})
    assert not any(signature_boxes(store, name).values())


def signature_boxes(store, name):
    """The boxes for a signature of the installer, and what stands in them."""
    found = [place for place, each in enumerate(store.read(name)[0].people) if each.role == "installer"]
    return {(each.paper, each.label): each.value for each in pack_of(store, name).boxes
            if f"people[{found[0]}].signature" in each.paths}  # fmt: skip


@pytest.mark.parametrize("path", ["M1 1", "M1 1 L2 2", "x", "M1 1 L2 2'/><script>", "M900 1" + " L1 1" * 9,
                                  "M1 1" * 20_000])  # fmt: skip
def test_what_is_no_drawing_is_refused(path):
    with pytest.raises(BadSignature):
        strokes_of(path)


def test_a_byte_altered_behind_the_back_of_the_store_is_found(store, job, tmp_path):
    for kind in ("tests", "labels", "commissioning"):
        of(store, job, kind)
    store.close()
    with sqlite3.connect(tmp_path / "jobs.db") as link:
        link.execute("DROP TRIGGER issued_no_update")
        (body,) = link.execute("SELECT body FROM issued WHERE number = 2").fetchone()
        link.execute("UPDATE issued SET body = ? WHERE number = 2", (body[:900] + bytes([body[900] ^ 1]) + body[901:],))
    broken = Ledger(Store(tmp_path / "jobs.db").engine).check()
    assert broken is not None
    assert (broken.number, broken.label) == (2, "labels 2026-0001")
    assert "not the one that was issued" in broken.says
