"""The work of a job as entered: rows of the catalogue that say what the record holds, and what has none."""

from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.materials.take_off import take_off
from ampwright.assess.quote.book import read_price_book
from ampwright.assess.quote.work import minutes, with_work
from ampwright.deliver.demo import demo_files
from ampwright.job.files import parse
from ampwright.job.paths import replaced
from ampwright.job.record import Cable

CATALOGUE, BOOK = read_catalogue(), read_price_book()


def worked(changes=None):
    job = parse(demo_files()["farmhouse.yaml"])
    for path, value in (changes or {}).items():
        job = replaced(job, path, value)
    return with_work(take_off(job), job, CATALOGUE, BOOK)


def test_the_farmhouse_as_entered_by_hand():
    # on every job 75 + 60 + 25 + 15, three phases 15, the device 35, a way 10, a hole 30, two ends at 20: 305; cable at
    # 4 over 37 to 43 m and trench at 22 over 24 to 30 m: 305 + 148 + 528 = 981 and 305 + 172 + 660 = 1137
    found = worked()
    assert minutes(found.operations) == (981, 1137)
    assert any("no row for this as entered, so no minutes: load cap" in each for each in found.remarks)


def test_a_cable_that_the_catalogue_has_not_is_named():
    found = worked({"route[1].cable": Cable(kind="armoured_90c", size_mm2=35, cores_count=4, cpc="armour")})
    assert any("the cable of 'yard, buried'" in each for each in found.remarks)
    assert not any("35 mm²" in each.name for each in found.operations)
