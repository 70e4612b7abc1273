"""The grant's bundle: its dated rules and its photographs, read back by pikepdf (qpdf) and PDFium, and judged by a
validator of PDF/A and PDF/UA (page). None of these had a part in laying it out.
"""

from __future__ import annotations

import datetime
import io

import page
import pikepdf
import pypdfium2
import pytest
from drawn_photos import jpeg
from PIL import Image

from ampwright.deliver.demo import FINISHED, demo_files
from ampwright.deliver.documents.blocks import Heading, Listing, Slot, Table, Text
from ampwright.deliver.documents.book import every_paper
from ampwright.deliver.documents.draft import Gate, gates_of
from ampwright.deliver.documents.grant import claimed
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.writing import printed
from ampwright.deliver.issuing import pack_of
from ampwright.deliver.web.images import redrawn
from ampwright.job.files import parse
from ampwright.job.paths import changed

NAME = "form-17-grant-claim"
DAY = datetime.date(2026, 11, 21)
DONE = parse(demo_files()[FINISHED])


def job_in(store):
    return store.take_in(demo_files()[FINISHED], operation="bungalow", who="Ann", origin="a file")


def keep(store, job, path, number, operation):
    sent = jpeg(number)
    store.photos.add(job, path, redrawn(sent), sent=sent, operation=operation, who="Ann", origin="here")


def bundle(pack):
    return every_paper()[NAME](pack)


def of(job, **new):
    return bundle(Pack(changed(job, {path.replace("__", "."): value for path, value in new.items()}), DAY))


def slots(paper):
    return {each.wanted: each for each in paper.blocks if isinstance(each, Slot)}


def after(paper, heading):
    titles = [each.text if isinstance(each, Heading) else "" for each in paper.blocks]
    return paper.blocks[titles.index(heading) + 1 :]


def pdf_of(pack):
    ((_, made),) = printed(pack, "job.yaml", "version: 2\n", (NAME,))
    return made


def words(made):
    return " ".join("".join(each.get_textpage().get_text_range() for each in pypdfium2.PdfDocument(made)).split())


def pictures(made):
    """Each picture on the pages as points, in order; the drawing that it stands in is a form of its own."""
    for leaf in pypdfium2.PdfDocument(made):
        for each in leaf.get_objects(max_depth=6):
            if isinstance(each, pypdfium2.PdfImage):
                yield each.get_bitmap().to_pil().convert("RGB")


def alternatives(element):
    if "/Alt" in element:
        yield str(element["/Alt"])
    below = element.get("/K")
    for each in below if isinstance(below, pikepdf.Array) else [below]:
        if isinstance(each, pikepdf.Dictionary):
            yield from alternatives(each)


def test_the_rules_stand_with_their_answer_their_dates_and_where_they_were_seen():
    said, table, seen, *_ = after(of(DONE), "Rules of the grant")
    assert said == Text("The rules held for 23 September 2026, the day of the customer's application.")
    assert isinstance(table, Table)
    row = next(each for each in table.rows if each[0].startswith("each socket gives"))
    assert row[:4] == ("each socket gives at least 3.5 kW", "MET",
                       "rated current of the charge point, a line: 32 A; phases of the charge point: 1; "
                       "number of outlets of the charge point: 1", "to 31 March 2027")  # fmt: skip
    assert isinstance(seen, Listing)
    assert seen.items[int(row[4]) - 1].startswith("specification (reprinted). Government guidance, charge point")
    rents = next(each for each in table.rows if each[0].startswith("the customer rents"))
    assert rents[3] == "from 1 April 2026 to 31 March 2027"
    before = next(each for each in table.rows if each[0] == "the household has had no such grant before")
    assert seen.items[int(before[4]) - 1] == "fields of the claim, from memory (memory)"


def test_an_owner_with_a_driveway_is_told_on_the_bundle():
    _, table, *_ = after(of(DONE, site__tenure="owner"), "Rules of the grant")
    answers = {each[0]: each[1] for each in table.rows}
    assert answers["the home is not a house that its owner lives in and that has a driveway"] == "NOT MET"
    assert answers["the charge point is on the grant office's list"] == "YOURS TO SAY"


def test_a_day_without_rules_and_a_grant_that_is_not_named_are_said():
    late = after(of(DONE, dates__grant_applied=datetime.date(2027, 4, 1)), "Rules of the grant")
    assert late[0] == Text("No rules are held for an application of 1 April 2027: go by the grant office's own page.")
    assert isinstance(late[1], Heading)
    wanted = of(DONE, dates__grant_applied=None, dates__grant_wanted=True, grant__scheme=None)
    said, which, *_ = after(wanted, "Rules of the grant")
    assert said == Text("The rules held for 21 November 2026, the day of this paper, as no application is recorded.")
    assert "not yet known" in which.text
    assert "Photograph of the channel across the pavement" in slots(wanted)


def test_a_job_in_a_file_has_an_open_slot_for_each_photograph():
    found = slots(of(DONE))
    assert list(found) == ["Photograph of the finished charge point with the parking space",
                           "Photograph of the evidence of who keeps the vehicle",
                           "Photograph of the evidence of tenancy or of owning the flat",
                           "Photograph of the charge point's plate"]  # fmt: skip
    assert not any(each.picture for each in found.values())
    assert "Photograph of the channel across the pavement" in slots(of(DONE, grant__scheme="on-street parking"))
    plate = slots(of(DONE, photos__serial_plate="plate.jpg"))["Photograph of the charge point's plate"]
    assert plate.says == ("No photograph of it is kept with the job; it is owed by you, on the day. The record names "
                          "the file plate.jpg: put it here.")  # fmt: skip


def test_a_slot_has_the_newest_photograph_of_its_field(store):
    job = job_in(store)
    keep(store, job, "photos.finished", 3, "the-first-one")
    keep(store, job, "photos.finished", 28, "the-later-one")
    keep(store, job, "photos.board", 9, "no-part-of-it")
    keep(store, job, "charge_point.made.serial", 15, "of-the-plate")
    pack = pack_of(store, job)
    assert {each.path for each in pack.photographs} == {"photos.finished", "charge_point.made.serial"} <= claimed()
    found = slots(bundle(pack))
    assert [bool(each.picture) for each in found.values()] == [True, False, False, True]
    finished = found["Photograph of the finished charge point with the parking space"]
    assert finished.says.startswith("Kept on ")
    assert finished.says.endswith(", by Ann.")
    made = pdf_of(pack)
    shown = list(pictures(made))
    # The corner that the photographs are told apart by: 28 x 8 of red, then 15 x 8; a JPEG is a few off
    assert [each.getpixel((20, 20))[0] for each in shown] == [pytest.approx(224, abs=4), pytest.approx(120, abs=4)]
    assert max(max(each.size) for each in shown) == 1200
    assert finished.says in words(made)


def test_the_bundle_is_the_same_bytes_and_each_picture_is_told_in_words(store):
    job = job_in(store)
    keep(store, job, "photos.finished", 3, "the-first-one")
    made = pdf_of(pack_of(store, job))
    assert made == pdf_of(pack_of(store, job))
    with pikepdf.open(io.BytesIO(made)) as read:
        told = list(alternatives(read.Root.StructTreeRoot))
    assert len(told) == 1
    assert told[0].startswith("Photograph of the finished charge point with the parking space. Kept on ")
    for profile in (page.ValidationProfile.PDF_A_3A, page.ValidationProfile.PDF_UA_1):
        assert page.validate_pdf_bytes(made, profile=profile).is_compliant


def test_a_tall_photograph_keeps_its_shape(store):
    job = job_in(store)
    sent = jpeg(5, size=(1500, 2000))
    store.photos.add(job, "photos.finished", redrawn(sent), sent=sent, operation="a-tall-one", who="Ann", origin="here")
    (shown,) = pictures(pdf_of(pack_of(store, job)))
    assert shown.size == (900, 1200)
    assert Image.open(io.BytesIO(redrawn(sent))).size == (1500, 2000)


def test_a_job_that_wants_no_grant_reads_no_photograph(store):
    job = job_in(store)
    keep(store, job, "photos.finished", 3, "the-first-one")
    _, base = store.read(job)
    store.change(job, {"dates.grant_applied": None}, base=base, operation="no-grant", who="Ann", origin="here")
    assert pack_of(store, job).photographs == ()


def test_a_form_of_prices_waits_for_the_firms_own_and_one_that_is_not_owed_says_so():
    priced = {each[5:7] for each in every_paper() if each.startswith("form-") and Gate.PRICE in gates_of(each).of}
    # The value of the work stands on the building notice, the grant on the handover; the others are about money
    assert priced == {"06", "14", "15", "17", "20", "22"}
    assert Gate.PRICE not in gates_of("form-19-warranty-registration").of
    none = Pack(changed(DONE, {"dates.grant_applied": None}), DAY)
    assert "The job owes no paper 17: nothing in it asks for one." in none.draft(NAME)
    assert not any("owes no paper" in each for each in Pack(DONE, DAY).draft(NAME))
