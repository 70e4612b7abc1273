"""The papers that price a design and the paper that buys for it are of one design."""

from __future__ import annotations

import datetime

import pytest

from ampwright.assess.materials.take_off import take_off
from ampwright.assess.paperwork.priced import as_it_stands, shipped
from ampwright.deliver.demo import demo_files
from ampwright.deliver.documents.blocks import Listing, Note, Table, Text
from ampwright.deliver.documents.book import PAPERS
from ampwright.deliver.documents.offered import FIRST, NONE, OWN
from ampwright.deliver.documents.pack import DECIDED, Pack
from ampwright.deliver.documents.quote import NOT_IN_RECORD
from ampwright.deliver.materials import need_words
from ampwright.job.files import parse
from ampwright.job.paths import changed
from ampwright.reading import measured

DAY = datetime.date(2026, 11, 21)


def pack_of(name, changes=None):
    job = changed(parse(demo_files()[f"{name}.yaml"]), changes or {})
    return Pack(job, DAY)


@pytest.fixture(scope="module")
def undecided():
    """The record of this job has a cable of three cores; the first design has two and earths by the armour."""
    return pack_of("house_with_garage")


def texts(paper):
    return [each.text for each in paper.blocks if isinstance(each, Text | Note)]


def metres_priced(pack):
    """Length and size of the cable that the quote prices."""
    words = {cable.words for cable in pack.offer.design.cables}
    return [need_words(line.need, "m") for line in pack.offer.quote.lines if line.words in words and line.unit == "m"]


def metres_bought(pack):
    tables = [each for each in PAPERS["materials"](pack).blocks if isinstance(each, Table)]
    return [row[0] for row in next(each for each in tables if each.head[0] == "Length").rows]


def test_what_is_cut_is_what_is_priced(undecided):
    for pack in (undecided, pack_of("bungalow")):
        assert metres_bought(pack) == metres_priced(pack) != []


def test_the_materials_are_of_the_design_that_is_offered_and_say_what_the_record_has_otherwise(undecided):
    paper = PAPERS["materials"](undecided)
    bought = [row[1] for each in paper.blocks if isinstance(each, Table) for row in each.rows]
    assert "6 mm2 2-core armoured cable" in bought
    assert "6 mm2 3-core armoured cable" not in bought
    assert {each.name for each in take_off(undecided.job).cuts} == {"6 mm2 3-core armoured cable"}  # what differed
    assert FIRST in texts(paper)
    (otherwise,) = [each.items for each in paper.blocks if isinstance(each, Listing)]
    assert "Number of cores (route, no. 1): 3; here 2." in otherwise
    assert NOT_IN_RECORD in texts(PAPERS["quote"](undecided))
    assert FIRST in texts(PAPERS["costs"](undecided))
    quote = PAPERS["quote"](undecided)  # which goes to the customer
    assert FIRST not in texts(quote)
    said = [item for each in quote.blocks if isinstance(each, Listing) for item in each.items]
    assert [each for each in (*said, *texts(quote)) if "`ampwright" in each or "[rcd" in each] == []
    assert any("prove its sensor by readings and its fallback on site" in each for each in said)


def test_a_design_that_the_record_holds_is_priced_and_bought_and_none_is_sought():
    pack = pack_of("bungalow")
    assert pack.sought == (None, DECIDED)
    assert pack.otherwise == ()
    for name in ("materials", "costs"):
        assert OWN in texts(PAPERS[name](pack))
    asks = as_it_stands(pack.job, shipped())
    assert asks is not None
    assert pack.offer.quote == asks  # the boxes of the papers have their sums from here
    assert NOT_IN_RECORD not in texts(PAPERS["quote"](pack))


def test_a_design_of_the_record_that_does_not_stand_is_not_offered():
    pack = pack_of("bungalow", {"supply.cutout.rating_a": measured(30)})
    assert pack.own is None


def test_where_nothing_can_be_priced_the_materials_say_so():
    pack = pack_of("bungalow", {"route": ()})
    assert pack.offer is None
    assert NONE in texts(PAPERS["materials"](pack))
    assert pack.designed == pack.job
