"""The work of a job as entered: rows of the catalogue that say what the record holds, and what has none."""

import dataclasses

from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.materials.take_off import take_off
from ampwright.assess.quote.book import read_price_book
from ampwright.assess.quote.work import minutes, with_work
from ampwright.deliver.demo import demo_files
from ampwright.job.files import parse
from ampwright.job.paths import replaced
from ampwright.job.record import Cable
from ampwright.job.sketch import Sketch

CATALOGUE, BOOK = read_catalogue(), read_price_book()


def worked(changes=None):
    job = parse(demo_files()["farmhouse.yaml"])
    for path, value in (changes or {}).items():
        job = replaced(job, path, value)
    return with_work(take_off(job), job, CATALOGUE, BOOK)


def test_the_farmhouse_as_entered_by_hand():
    # on every job 75 + 60 + 25 + 15, three phases 15, the device 35, a way 10, a hole 30, two ends at 20: 305; cable at
    # 4 over 37 to 43 m, a trench in gravel at 24 over 24 to 30 m: 305 + 148 + 576 = 1029 and 305 + 172 + 720 = 1197
    found = worked()
    assert minutes(found.operations) == (1029, 1197)
    assert any("no row for this as entered, so no minutes: load cap" in each for each in found.remarks)


def test_a_cable_that_the_catalogue_has_not_is_named():
    found = worked({"route[1].cable": Cable(kind="armoured_90c", size_mm2=35, cores_count=4, cpc="armour")})
    assert any("the cable of 'yard, buried'" in each for each in found.remarks)
    assert not any("35 mm²" in each.name for each in found.operations)


def test_one_unbroken_cable_is_made_off_once_though_a_stretch_of_it_is_laid_as_no_row_offers():
    # the middle of three stretches of one cable lies in trunking, for which the catalogue has no armoured row
    cable = parse(demo_files()["farmhouse.yaml"]).route[1].cable
    found = worked({"route[0].cable": cable, "route[1].method": "B", "route[2].cable": cable})
    assert len(found.cuts) == 1
    assert not any("joint box" in each.code for each in found.items)
    assert not any("a box where one cable changes" in each.name for each in found.operations)
    assert [each.need.high for each in found.operations if each.name.startswith("make off")] == [2]
    assert any("the cable of 'yard, buried'" in each for each in found.remarks)


def test_a_box_and_two_ends_more_where_the_cable_changes():
    found = worked({"route[1].cable": Cable(kind="armoured_90c", size_mm2=16, cores_count=4, cpc="armour",
                                            carries_data=False)})  # fmt: skip
    boxes = [each.need.high for each in found.operations if "a box where one cable changes" in each.name]
    assert boxes == [len(found.cuts) - 1]


def test_the_trench_is_priced_by_what_lies_over_it():
    # 92 a metre through concrete in place of 24 through gravel: 68 more over 24 and over 30 m
    assert minutes(worked({"route[1].surface": "concrete"}).operations) == (1029 + 24 * 68, 1197 + 30 * 68)


def test_a_surface_that_nobody_said_is_a_band_over_what_the_sketch_has_and_a_question():
    # the sketch of the farmhouse has gravel and concrete: from all gravel to all concrete
    found = worked({"route[1].surface": None})
    assert minutes(found.operations) == (1029, 1197 + 30 * 68)
    assert "route[1].surface" in found.missing
    assert any("gravel or concrete" in each for each in found.remarks)


def test_without_a_sketch_the_trench_may_be_under_any_surface():
    # bare soil at 20 is the least of the shipped rows: 24 m of it save 96 against gravel
    found = worked({"route[1].surface": None, "sketch": Sketch()})
    assert minutes(found.operations) == (1029 - 24 * 4, 1197 + 30 * 68)


def test_ground_of_one_surface_all_over_asks_nothing():
    job = parse(demo_files()["farmhouse.yaml"])
    concrete = tuple(dataclasses.replace(each, surface="concrete") for each in job.sketch.ground)
    found = worked({"route[1].surface": None, "sketch.ground": concrete})
    assert minutes(found.operations) == (1029 + 24 * 68, 1197 + 30 * 68)
    assert "route[1].surface" not in found.missing
