"""A reading is exact, a range, or not there; an end says which way hurts."""

import pytest

from ampwright.reading import BEST, WORST, Reading, assumed, measured


def test_the_worst_end_of_a_length_is_the_long_one_and_of_a_size_the_small_one():
    length, size = assumed(24, 30, "paced"), assumed(16, 25, "not legible")

    assert (WORST.more_hurts(length), BEST.more_hurts(length)) == (30, 24)
    assert (WORST.less_hurts(size), BEST.less_hurts(size)) == (16, 25)


def test_a_reading_says_where_it_comes_from():
    assert measured(0.21, "loop tester").basis == "read with loop tester"
    assert assumed(24, 30, "paced").basis == "24 to 30: paced"
    assert measured(3).basis == "the job"


def test_the_ends_must_be_the_right_way_round():
    with pytest.raises(ValueError, match="above the high end"):
        Reading(3, 2)
