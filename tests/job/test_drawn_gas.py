"""How near drawn gas comes to what is fitted, against distances added up by hand."""

import pytest
from sketches import cottage, on, pipe

from ampwright.job.drawn_gas import Beside, gas_beside, gas_drawn
from ampwright.job.sketch import Place

SIZE = {"width_mm": 250, "tall_mm": 400}
HERE = on("east", "right", 3000, 1100, **SIZE)
# the outer face of the east wall lies at x 8150; the charge point fills y 2875 to 3125, heights 900 to 1300, and is
# taken to stand 150 mm out, to x 8300


@pytest.mark.parametrize(
    ("points", "gap_mm"),
    [
        ([(8171, 2840, 0), (8171, 2840, 2400)], 24),
        ([(8171, 0, 600), (8171, 6000, 600)], 289),
        # past its front: 8411 - 11 - 8300
        ([(8411, 0, 1100), (8411, 6000, 1100)], 100),
        # through it
        ([(8200, 0, 1100), (8200, 6000, 1100)], 0),
        # in the wall behind it: 8150 - 8100 - 11
        ([(8100, 0, 1100), (8100, 6000, 1100)], 39),
        # ends 300 beside and 400 above: 500 - 11
        ([(8200, 3425, 1700), (8200, 3425, 2400)], 489),
        # aslant in the face, through (3425, 1300) and (3125, 1700): 300 x 400 / 500 = 240 off the corner
        ([(8200, 3725, 900), (8200, 2825, 2100)], 229),
    ],
)
def test_a_pipe_beside_a_charge_point_by_hand(points, gap_mm):
    (found,) = gas_beside(cottage(services=(pipe("gas", "gas", points),), charge_point=HERE, board=Place()))
    assert (found.gas, found.equipment) == ("gas", "charge point")
    assert found.gap_mm == pytest.approx(gap_mm, abs=0.01)


def test_a_meter_beside_a_board_by_hand():
    # both on the west wall: edges at 3000 + 175 and 3400 - 175, and the meter on another wall is further off
    board = on("west", "left", 3000, 1700, width_mm=350, tall_mm=260)
    meter = on("west", "left", 3400, 1700, width_mm=350, tall_mm=400)
    (found, _) = gas_beside(cottage(board=board, gas_meter=meter, charge_point=HERE))
    assert found == Beside("gas meter", "board", found.gap_mm)
    assert found.gap_mm == pytest.approx(50, abs=0.01)


def test_a_meter_over_a_board_leaves_no_gap():
    board = on("west", "left", 3000, 1700, width_mm=350, tall_mm=260)
    meter = on("west", "left", 3000, 1700, width_mm=900, tall_mm=900)
    assert gas_beside(cottage(board=board, gas_meter=meter, charge_point=Place()))[0].gap_mm == 0


def test_a_free_standing_charge_point_and_what_is_not_drawn():
    post = Place(x_mm=10000, y_mm=1000, height_mm=1000, width_mm=200, tall_mm=400)
    gas = pipe("gas", "gas", [(10311, -100, 0), (10311, 5000, 0)])
    (found,) = gas_beside(cottage(board=Place(), charge_point=post, services=(gas,)))
    # 10311 - 11 - 10100 across and 800 down to the height of the pipe: the middle line is 211 and 800 off
    assert found.gap_mm == pytest.approx((211**2 + 800**2) ** 0.5 - 11, abs=0.01)
    assert gas_beside(cottage()) == ()
    assert gas_drawn(cottage()) == ()
    assert gas_drawn(cottage(services=(gas,), gas_meter=HERE)) == ("gas", "gas meter")
