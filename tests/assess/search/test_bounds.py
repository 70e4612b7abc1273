"""What the bounds take to be true of the rules that they name."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs import house

from ampwright.assess.book import BOOK, COUNTING
from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.search.bench import Bench, rank_of
from ampwright.assess.search.bounds import BY_DROP, BY_LOOP, BY_STRETCH, bisected
from ampwright.assess.search.search import Search
from ampwright.job.paths import replaced
from ampwright.job.record import Section
from ampwright.reading import assumed, measured
from ampwright.rules.gb.book import GB

CATALOGUE = read_catalogue()
LENGTHS = st.tuples(st.floats(0.5, 60), st.floats(0, 20)).map(lambda pair: assumed(pair[0], sum(pair)))


@st.composite
def designs(draw):
    """A search on a route of two or three stretches, and a design of it drawn at random."""
    route = tuple(
        Section(name=f"stretch {number}", method=draw(st.sampled_from("CDAE")), length_m=draw(LENGTHS),
                ambient_c=measured(draw(st.sampled_from((20, 25, 30, 40)))), insulation_mm=measured(0),
                circuits_together_count=measured(draw(st.sampled_from((1, 1, 3)))), depth_m=measured(0.6),
                arrangement="bunched", buried_spacing="touching", soil_k_m_per_w=measured(2.5),
                outdoors=draw(st.booleans()))
        for number in range(draw(st.integers(2, 3)))
    )  # fmt: skip
    ze = draw(st.sampled_from((0.2, 0.35, 0.8, 3)))
    ze_ohm = assumed(ze, ze * draw(st.sampled_from((1, 1.5))))
    search = Search(house({"route": route, "supply.ze_ohm": ze_ohm}), CATALOGUE)
    picked = tuple(draw(st.sampled_from(search.space.choices[axis])) for axis in search.space.axes)
    return search, picked


def rank(name, job):
    rule = BOOK.regulation(name)
    return rank_of(rule, rule(job).verdict)


@pytest.mark.parametrize("name", BY_STRETCH)
@settings(max_examples=40, deadline=None)
@given(designs(), st.integers(0))
def test_a_route_stands_no_better_than_each_stretch_alone(name, drawn, way):
    search, picked = drawn
    job = search.space.designed(picked, search.routes.of(way % len(search.routes.cells)))
    alone = [rank(name, replaced(job, "route", (section,))) for section in job.route]

    # what no stretch alone may fail or be asked about, the route does not either
    assert max(alone) <= rank(name, job)


@pytest.mark.parametrize("name", [*BY_DROP, *BY_LOOP])
@settings(max_examples=40, deadline=None)
@given(designs(), st.integers(0), st.integers(0))
def test_more_drop_or_a_longer_loop_is_never_met_better(name, drawn, one, other):
    search, picked = drawn
    rule, phases = BOOK.regulation(name), 3 if search.space.designed(picked, ()).charge_point.phases == 3 else 2
    jobs = [search.space.designed(picked, search.routes.of(way % len(search.routes.cells))) for way in (one, other)]
    for most in (0, 1):
        sums, _ = search.bounds.sums(rule, most, phases)
        here, there = (sums[way % len(search.routes.cells)] for way in (one, other))
        if here < there and rank(name, jobs[1]) <= most:
            assert rank(name, jobs[0]) <= most


@settings(max_examples=30, deadline=None)
@given(designs(), st.lists(st.integers(0), min_size=3, max_size=6))
def test_the_bench_answers_as_the_rules_do_whatever_it_was_asked_before(drawn, ways):
    search, picked = drawn
    bench = Bench(search.space.job, search.space.decided)
    for way in ways:
        cables = search.routes.of(way % len(search.routes.cells))
        values, job = search.space.values(picked, cables), search.space.designed(picked, cables)
        for rule in BOOK.regulations:
            alone = GB.regulation(rule.name) if rule.name in COUNTING else rule  # load_cap_stands is asked beside it
            assert bench.rank(rule, values) == rank_of(rule, alone(job).verdict)


@given(st.integers(0, 200), st.integers(0, 200))
def test_halving_finds_how_many_hold(count, holding):
    assert bisected(lambda place: place < holding, count) == min(count, holding)
