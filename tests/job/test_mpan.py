"""The MPAN's check digit. Vectors worked out apart from our code, from the published weights."""

import random

import pytest

from ampwright.job.mpan import BadMpan, check_digit, core, distributor

GOOD = ("1012345678903", "2312345678900", "1900000000013", "1200067890122")


@pytest.mark.parametrize("number", GOOD)
def test_the_vectors_pass(number):
    assert core(number) == number


# From public test data of three programs of other people, read in 2026: the documentation of an MPAN parsing library, a
# suite for the electricity industry's data flows, and an energy billing suite. Two other public suites weigh the digits
# by 3, 7 and 1; that fits none of these.
PUBLIC = ("001112221312345678907", "2000000000015", "22 7867 6232 781")


@pytest.mark.parametrize("number", PUBLIC)
def test_numbers_from_other_peoples_tests_pass(number):
    assert core(number) == number.replace(" ", "")[-13:]


def test_by_hand():
    # 1 2 0 0 0 6 7 8 9 0 1 2 by 3 5 7 13 17 19 23 29 31 37 41 43:
    # 3 + 10 + 114 + 161 + 232 + 279 + 41 + 86 = 926; 926 mod 11 = 2; 2 mod 10 = 2
    assert check_digit("120006789012") == 2


def test_a_remainder_of_ten_gives_nought():
    # 1 x 3 + 1 x 5 + 4 x 7 + 1 x 41 + 1 x 43 = 120; 120 mod 11 = 10; 10 mod 10 = 0
    assert check_digit("114000000011") == 0


@pytest.mark.parametrize("number", ["00 123 456 10 1234 5678 903", "001234561012345678903", "10 1234 5678 903"])
def test_the_top_line_and_spaces_are_taken(number):
    assert core(number) == "1012345678903"


def test_the_operator_is_the_first_two():
    assert distributor("2312345678900") == 23
    assert distributor("001234561012345678903") == 10


@pytest.mark.parametrize(
    ("number", "says"),
    [
        ("1012345678904", "re-read the digits"),
        ("0000000000000", "no network operator"),
        ("101234567890", "12"),
        ("10123456789O3", "digits only"),
        ("", "digits only"),
        ("١٠١٢٣٤٥٦٧٨٩٠٣", "digits only"),
    ],
)
def test_a_wrong_number_is_told(number, says):
    with pytest.raises(BadMpan, match=says):
        core(number)


def test_slips_are_caught_as_often_as_the_notes_found():
    # a simulation of 60,000 draws made apart from this code: one wrong digit is caught 98.4 times in 100, and a
    # swap of the last two digits is missed 91 times in 100
    chance = random.Random(1)
    slips = swaps = swaps_missed = caught = 0
    for _ in range(4000):
        twelve = f"{chance.randrange(10, 30)}{chance.randrange(10**10):010d}"
        number = twelve + str(check_digit(twelve))
        place = chance.randrange(13)
        slip = number[:place] + chance.choice("0123456789".replace(number[place], "")) + number[place + 1 :]
        slips += 1
        caught += check_digit(slip[:12]) != int(slip[12])
        if number[11] != number[12]:
            swaps += 1
            swaps_missed += check_digit(number[:11] + number[12]) == int(number[11])
    assert caught / slips == pytest.approx(0.984, abs=0.01)
    assert swaps_missed / swaps == pytest.approx(0.91, abs=0.02)


@pytest.mark.parametrize("twelve", ["12", "abcdefghijkl", "1234567890123"])
def test_the_check_digit_wants_twelve(twelve):
    with pytest.raises(BadMpan):
        check_digit(twelve)
