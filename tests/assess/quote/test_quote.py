"""The quote against sums by hand, against the search's own minutes, and against what money must always do."""

import dataclasses
import datetime
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.design import propose
from ampwright.assess.materials.take_off import take_off
from ampwright.assess.price import CannotPrice, Price, vat_row
from ampwright.assess.quote.book import HOLE, Rate, read_price_book
from ampwright.assess.quote.lines import Chosen, material
from ampwright.assess.quote.money import Band, to_pence
from ampwright.assess.quote.quote import extra_gross_gbp, quoted, savings
from ampwright.assess.quote.work import minutes, work_list
from ampwright.deliver.demo import JOBS, demo_files
from ampwright.job.files import parse
from ampwright.job.paths import at, replaced
from ampwright.reading import Reading
from ampwright.rules.regulation import seen

CATALOGUE, BOOK = read_catalogue(), read_price_book()
PROPOSALS = {name: propose(parse(demo_files()[name]), CATALOGUE) for name in JOBS}
ZERO = {name: Decimal(value) for name, value in
        (("overhead_percent", 0), ("margin_percent", 0), ("valid_days", 1), ("charges_vat", 1))}  # fmt: skip


def chosen(design):
    return Chosen(CATALOGUE, tuple(design.choices.values()), tuple(design.cables))


def first(name):
    design = PROPOSALS[name].best[0][1]
    return design.job, chosen(design)


def firm(**figures):
    return dataclasses.replace(BOOK, firm={**ZERO, **{name: Decimal(value) for name, value in figures.items()}})


@pytest.mark.parametrize("name", JOBS)
def test_the_minutes_are_those_that_the_search_reckons_by_another_way_and_the_holes(name):
    for _, design in PROPOSALS[name].best:
        holes = BOOK.works[HOLE].minutes_count * sum(len(section.through) for section in design.job.route)
        assert minutes(work_list(design.job, chosen(design), BOOK)) == tuple(each + holes for each in design.minutes)


@pytest.mark.parametrize("name", JOBS)
def test_with_no_small_parts_and_the_lengths_as_measured_it_is_the_price_of_the_search(name):
    # the search counts cable as measured; the quote as cut: their difference is cable, to a penny a line
    bare = dataclasses.replace(firm(), parts={}, works={})
    for _, design in PROPOSALS[name].best:
        quote = quoted(design.job, chosen(design), bare)
        lengths = [seen(section.length_m).high for section in design.job.route]
        names = {row.words for row in design.cables}
        cut = [each for each in quote.lines if each.unit == "m" and each.words in names]
        cable = sum((each.cost.high_gbp for each in cut), Decimal(0))
        measured = sum((Decimal(row.per_m.pence) * Decimal(str(length_m)) / 100
                        for row, length_m in zip(design.cables, lengths, strict=True)), Decimal(0))  # fmt: skip
        assert sum(each.need.high for each in cut) > sum(lengths)
        assert abs(quote.net.high_gbp - cable + measured - Decimal(design.price.net_high_pence) / 100) < Decimal("0.03")


def test_the_farmhouse_by_hand():
    # 1073 and 1241 min at 45 GBP/h: 804.75 and 930.75
    job, of = first("farmhouse.yaml")
    quote = quoted(job, of, BOOK)
    assert quote.minutes == (1073, 1241)
    assert quote.labour == Band(Decimal("804.75"), Decimal("930.75"))
    material_gbp = [sum(getattr(each.cost, end) for each in quote.lines) for end in ("low_gbp", "high_gbp")]
    for end, which in (("low_gbp", 0), ("high_gbp", 1)):
        cost = material_gbp[which] + getattr(quote.labour, end)
        overhead = (cost * 12 / 100).quantize(Decimal("0.01"), ROUND_HALF_UP)
        # a margin of 10 % of the net price is a ninth of all that comes before it
        margin = ((cost + overhead) / 9).quantize(Decimal("0.01"), ROUND_HALF_UP)
        net = cost + overhead + margin
        assert getattr(quote.net, end) == net
        assert getattr(quote.vat, end) == (net / 5).quantize(Decimal("0.01"), ROUND_HALF_UP)


@given(low=st.floats(0.1, 400), wide=st.floats(0, 200), overhead=st.integers(0, 60), margin=st.integers(0, 60))
@settings(max_examples=60, deadline=None)
def test_sums_add_up_to_the_penny_and_bands_stay_in_order(low, wide, overhead, margin):
    job, of = first("terrace.yaml")
    job = replaced(job, "route[0].length_m", Reading(round(low, 2), round(low + wide, 2)))
    quote = quoted(job, of, firm(overhead_percent=overhead, margin_percent=margin))
    bands = (*(each.cost for each in quote.lines), quote.labour, quote.overhead, quote.margin, quote.net, quote.vat)
    for end in ("low_gbp", "high_gbp"):
        spent = sum(getattr(each.cost, end) for each in quote.lines) + getattr(quote.labour, end)
        net = spent + getattr(quote.overhead, end) + getattr(quote.margin, end)
        assert (getattr(quote.cost, end), getattr(quote.net, end)) == (spent, net)
        assert getattr(quote.gross, end) == net + getattr(quote.vat, end)
        assert all(getattr(each, end) == to_pence(getattr(each, end)) for each in bands)
    assert all(each.low_gbp <= each.high_gbp for each in bands)


def test_a_half_penny_counts_up():
    assert to_pence(Decimal("0.125")) == Decimal("0.13")
    assert Band(Decimal("0.10"), Decimal("0.10")).share(Decimal(5)) == Band(Decimal("0.01"), Decimal("0.01"))


def test_what_a_reading_saves_is_the_width_that_is_left_without_it():
    job, of = first("terrace.yaml")
    (saving,) = savings(job, of, BOOK)
    assert saving.path == "route[0].length_m"
    sure = quoted(replaced(job, saving.path, Reading(11.0, 11.0)), of, BOOK)
    wide = quoted(job, of, BOOK)
    assert sure.gross.width_gbp == 0
    assert saving.narrows_gbp == wide.gross.width_gbp
    assert wide.gross.low_gbp <= quoted(replaced(job, saving.path, Reading(8.0, 8.0)), of, BOOK).gross.low_gbp
    assert sure.gross == Band(wide.gross.high_gbp, wide.gross.high_gbp)


def test_what_cannot_be_cut_yet_leaves_the_upper_end_open():
    job, of = first("terrace.yaml")
    quote = quoted(replaced(job, "route[0].length_m", None), of, BOOK)
    assert "route[0].length_m" in quote.missing


def test_a_part_without_a_price_is_named():
    job, of = first("terrace.yaml")
    parts = {code: rate for code, rate in BOOK.parts.items() if code != "cable cleat"}
    assert any("cable cleat" in each for each in quoted(job, of, dataclasses.replace(BOOK, parts=parts)).unpriced)


def test_vat_by_the_day_and_by_the_firm():
    # VATA 1994 section 2 as amended: 20 % from 4 January 2011; nothing is held for the days before
    job, of = first("terrace.yaml")
    assert quoted(job, of, BOOK).vat_percent == 20
    early = dataclasses.replace(job, date=job.date.replace(year=2010))
    with pytest.raises(CannotPrice, match="2010"):
        quoted(early, of, BOOK)
    small = quoted(early, of, firm(charges_vat=0))
    assert small.vat == Band(Decimal("0.00"), Decimal("0.00"))
    assert small.gross == small.net


def test_vat_is_of_that_supply_and_the_standard_rate_before_it_had_a_rule():
    assert vat_row(datetime.date(2026, 1, 5))["supply"] == "charge_point_at_home"
    assert vat_row(None)["supply"] == "charge_point_at_home"
    assert vat_row(datetime.date(2015, 6, 1))["supply"] == "standard_rated"


def test_half_a_penny_of_vat_is_counted_up_exactly():
    # 17.5 % of 1.00 is 17.5 pence: 18; 2.3 % of 15.00 is 34.5 pence: 35, where a binary sum says 34
    assert Price(100, 100, Decimal("17.5")).vat_pence(100) == 18
    assert Price(1500, 1500, Decimal("2.3")).vat_pence(1500) == 35


def test_an_extra_by_hand():
    # 38 + 60 min at 45 = 83; 12 % 9.96: 92.96; a ninth 10.33: 103.29; VAT 20.66: 123.95
    job, of = first("terrace.yaml")
    rod = Rate("earth rod", Decimal("38.00"), 60, "a rod")
    assert extra_gross_gbp(rod, job, of, BOOK) == Decimal("123.95")
    assert extra_gross_gbp(Rate("tails", None, 0, "tails"), job, of, BOOK) is None


def test_holes_by_hand():
    job, of = first("farmhouse.yaml")
    assert sum(len(section.through) for section in job.route) == 1
    found = [each for each in material(job, of, take_off(job), BOOK) if "hole" in each.words]
    assert [(each.need.high, each.cost.high_gbp) for each in found] == [(1.0, Decimal("2.50"))]


def test_a_saving_is_promised_only_as_far_as_either_end_of_the_reading_keeps_it():
    job, of = first("terrace.yaml")
    differ = 0
    for high_m in (4.1, 4.3, 4.7, 5.0, 5.3):
        ranged = replaced(job, "route[1].length_m", Reading(3.0, high_m))
        wide_gbp = quoted(ranged, of, BOOK).gross.width_gbp
        for saving in savings(ranged, of, BOOK):
            ends = at(ranged, saving.path)
            left = [quoted(replaced(ranged, saving.path, Reading(end, end)), of, BOOK).gross.width_gbp
                    for end in (ends.low, ends.high)]  # fmt: skip
            assert all(width_gbp <= wide_gbp - saving.narrows_gbp for width_gbp in left)
            differ += left[0] != left[1]
    assert differ  # whole cleats and pennies make the ends unlike, so that the lesser saving is the honest one


def test_a_range_of_a_sensors_lead_is_a_saving_too():
    # 3 to 12 m: cable ties every 0.3 m, 10 to 40 of them at 0.04: 1.20 net, and nothing else hangs on it here; the
    # solar sensor's, since that of the load cap chosen here is by radio
    job, of = first("house_with_garage.yaml")
    book = firm(charges_vat=0)
    wide = replaced(job, "sensors[1].lead_m", Reading(3.0, 12.0, "guessed"))
    (saving,) = (each for each in savings(wide, of, book) if each.path == "sensors[1].lead_m")
    assert saving.narrows_gbp == Decimal("1.20")


def test_a_sensor_by_radio_has_no_lead_to_tie_up():
    # the house: 3 m to the supply sensor and 4 m to the solar sensor, a tie every 0.3 m: 10 and 14
    job, of = first("house_with_garage.yaml")
    radio, wire = (dataclasses.replace(of, choices=(*(each for each in of.choices if each.axis != "load cap"),
                                                    next(each for each in CATALOGUE.axis("load cap")
                                                         if each.sensor_link == link)))
                   for link in ("radio", "wired"))  # fmt: skip
    ties = [[each.need.high for each in quoted(job, which, BOOK).lines if each.words == "cable tie"]
            for which in (radio, wire)]  # fmt: skip
    assert ties == [[14], [24]]


def test_what_lies_over_a_trench_narrows_the_band_once_it_is_said():
    job, of = first("farmhouse.yaml")
    unsaid = replaced(job, "route[1].surface", None)
    told = {each.path: each.narrows_gbp for each in savings(unsaid, of, BOOK)}
    assert told["route[1].surface"] > 0
    assert quoted(unsaid, of, BOOK).gross.low_gbp <= quoted(job, of, BOOK).gross.low_gbp
    concrete = quoted(replaced(job, "route[1].surface", "concrete"), of, BOOK).gross.high_gbp
    assert concrete > quoted(job, of, BOOK).gross.high_gbp
