"""Cutting stock against textbook instances, brute force on small ones, and the sums that any plan must keep."""

from collections import Counter
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ampwright.assess.materials.drums import CannotCut, Length, Stock, plan_drums


def lengths(*counts):
    return [Length(f"{length} no. {number}", length) for length, count in counts for number in range(count)]


def test_the_paper_rolls_of_the_encyclopedia_need_73():
    # "Cutting stock problem", a public encyclopedia's article: 13 widths from rolls of 5,600, optimum 73 rolls, 0.401 %
    counts = ((138, 22), (152, 25), (156, 12), (171, 14), (182, 18), (188, 18), (193, 20), (200, 10), (205, 12),
              (210, 14), (214, 16), (215, 18), (220, 20))  # fmt: skip
    plan = plan_drums(lengths(*counts), [Stock(560)])
    assert len(plan.drums) == 73
    assert plan.gap_percent == pytest.approx(0, abs=1e-6)
    assert 100 * (1 - 40716 / plan.bought_m) == pytest.approx(0.401, abs=0.001)


@pytest.mark.drill
def test_the_raws_of_chvatal_need_453():
    # Chvatal, Linear Programming (1983), chapter 13: raws of 100, 97 x 45, 610 x 36, 395 x 31, 211 x 14. The numbers
    # stand on a public page; the optimum of 453 (452.25 rounded up) is from memory
    plan = plan_drums(lengths((45, 97), (36, 610), (31, 395), (14, 211)), [Stock(100)])
    assert len(plan.drums) == 453
    assert plan.gap_percent == pytest.approx(0, abs=1e-6)


def fewest_by_brute_force(cuts, drum_m):
    """The fewest drums over every order of the cuts, each drum filled until the next cut does not fit."""
    def drums(order):
        used, left = 0, 0.0
        for cut in order:
            if cut > left + 1e-9:
                used, left = used + 1, drum_m
            left -= cut
        return used
    return min(drums(order) for order in permutations(cuts))


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(30, 300), min_size=1, max_size=6))
def test_none_is_better_by_trying_every_order(tenths):
    cuts = [Length(str(number), tenth / 10) for number, tenth in enumerate(tenths)]
    plan = plan_drums(cuts, [Stock(50)])
    assert len(plan.drums) == fewest_by_brute_force([cut.length_m for cut in cuts], 50)


STOCKS = st.lists(st.sampled_from([Stock(25), Stock(50), Stock(100), Stock(33.3, 2), Stock(12, 1)]), min_size=0,
                  max_size=4, unique=True).map(lambda some: [*some, Stock(40)])  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(0.3, 39.9), min_size=1, max_size=12), STOCKS)
def test_every_cut_is_made_once_and_no_drum_is_overdrawn(cut_m, stocks):
    cuts = [Length(str(number), each) for number, each in enumerate(cut_m)]
    plan = plan_drums(cuts, stocks)
    assert Counter(cut for drum in plan.drums for cut in drum.cuts) == Counter(cuts)
    assert all(drum.left_m >= -1e-9 for drum in plan.drums)
    for stock in stocks:
        assert stock.count is None or sum(drum.stock == stock for drum in plan.drums) <= stock.count
    assert plan.at_least_m <= plan.bought_m + 1e-9
    assert plan.bought_m <= plan.in_order_m + 1e-9


def test_a_drum_in_hand_goes_before_one_that_is_bought():
    # 30 + 15 m: 45 m of a 50 m rest in hand; in order the same
    plan = plan_drums(lengths((30, 1), (15, 1)), [Stock(100), Stock(50, 1)])
    assert plan.bought_m == 0
    assert plan.drums[0].left_m == pytest.approx(5)


def test_the_plan_beats_going_through_the_jobs_in_order():
    # 60, 30, 60, 30, 40, 40 from 100 m: in order three drums (60+30, 60+30, 40+40); so does the plan, 260 m in 300.
    # 30, 60, 40, 70 fits two drums exactly (30+70, 60+40); in order 30+60, 40, 70 wants a third
    plan = plan_drums(lengths((30, 1), (60, 1), (40, 1), (70, 1)), [Stock(100)])
    assert (plan.bought_m, plan.in_order_m) == (200, 300)


def test_lengths_that_no_drum_holds_are_all_named():
    with pytest.raises(CannotCut) as wrong:
        plan_drums(lengths((120, 2), (10, 1)), [Stock(100)])
    assert str(wrong.value).count("longer than the longest drum (100 m)") == 2


def test_the_naive_plan_takes_the_longest_rest_first():
    # 8 then 20 m from rests of 10 and 20: the naive hand cuts 8 off the 20 and buys a drum; the plan buys none. The
    # order in which the rests are named makes no difference
    for rests in ([Stock(10, 1), Stock(20, 1)], [Stock(20, 1), Stock(10, 1)]):
        plan = plan_drums(lengths((8, 1), (20, 1)), [Stock(50), *rests])
        assert (plan.bought_m, plan.in_order_m) == (0, 50)


@pytest.mark.parametrize(
    ("count", "fewest_m", "by_hand_m", "drum"),
    [
        # drums of 25, 50 and 100 m. One cut of 12.83 m: the shortest drum that holds it, 25 m, by plan and by hand.
        # Seven, 12.9 m each as they are counted: 25 m drums give one each, 175 m; one of 100 m holds 90.3 m
        (1, 25, 25, "shortest"), (7, 100, 100, "longest"),
    ],
)  # fmt: skip
def test_the_hand_without_a_plan_is_no_straw_man(count, fewest_m, by_hand_m, drum):
    plan = plan_drums(lengths((12.83, count)), [Stock(25), Stock(50), Stock(100)])
    assert (plan.bought_m, plan.in_order_m, plan.in_order_by) == (fewest_m, by_hand_m, drum)
