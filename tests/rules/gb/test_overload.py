"""The device carries the car, and every stretch of cable carries the device."""

import pytest
from intake import printed
from jobs import house

from ampwright.reading import assumed, measured
from ampwright.rules.gb.overload import cable_carries_device_rating, device_carries_design_current
from ampwright.working import Verdict

MET, NOT_MET, OPEN = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_YET_KNOWN
DESIGNER = Verdict.FOR_THE_DESIGNER
IN, UNDER, UP = "route[0]", "route[1]", "route[2]"


def judged(changes=None):
    return cable_carries_device_rating(house(changes))


def all_sections(**fields):
    return {f"route[{number}].{name}": value for number in range(3) for name, value in fields.items()}


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({}, MET),
        ({"charge_point.rated_a": 32.1}, NOT_MET),
        ({"charge_point.rated_a": 40.0, "charge_point.set_a": 32.0,
          "charge_point.set_locked_from_customer": True}, MET),
        ({"circuit.device.rating_a": 25.0}, NOT_MET),
        ({"charge_point.rated_a": None}, OPEN),
        ({"circuit.device.rating_a": None}, OPEN),
    ],
)
def test_device_turns_at_the_charging_current(changes, verdict):
    assert device_carries_design_current(house(changes)).verdict is verdict


def test_device_says_both_numbers():
    finding = device_carries_design_current(house({"circuit.device.rating_a": 25.0}))

    assert finding.says == "The car draws up to 32 A; the device is rated 25 A."


def test_three_sections_by_hand():
    # flat 6 mm2 clipped 47 A (4D5); armoured 6 mm2 with 70 C terminals, so by 4D4A: buried 46 x 1.05 at 15 C
    # x 0.9 for overload protection in the ground = 43.47 A; up the wall 49 A
    finding = judged()

    assert finding.verdict is MET
    assert [printed(finding, f"Iz_{number}") for number in (1, 2, 3)] == pytest.approx([47, 43.47, 49])
    assert finding.says == "The weakest stretch (under the garden) carries 43.4 A; the device is rated 32 A."


@pytest.mark.parametrize(
    ("changes", "iz_a"),
    [
        # the notes' headline 3: 46 x 0.9 = 41.4 A at the table's own 20 C; 4 mm2 is 37 x 0.9 = 33.3 A
        ({f"{UNDER}.ambient_c": measured(20)}, 41.4),
        ({f"{UNDER}.ambient_c": measured(20), f"{UNDER}.cable.size_mm2": 4}, 33.3),
        # 90 C terminals: 53 A (4E4A) x 1.04 at 15 C x 0.9 = 49.608 A
        ({"circuit.terminals_c": 90}, 49.608),
        # a rewirable fuse: 46 x 1.05 x 0.653
        ({"circuit.device.kind": "bs3036"}, 31.5399),
        # dry soil of 3 K.m/W: the cable straight in the ground, 0.9, is worse than in a duct, 0.96
        ({f"{UNDER}.soil_k_m_per_w": measured(3)}, 46 * 1.05 * 0.9 * 0.9),
        # damp soil of 1: only a duct's 1.18 is credited, not 1.5; between rows the drier stands: 0.9 as 1.0
        ({f"{UNDER}.soil_k_m_per_w": measured(0.9)}, 46 * 1.05 * 1.18 * 0.9),
        # two circuits touching 0.75; 1 m apart counts as 0.5 m: 0.9
        ({f"{UNDER}.circuits_together_count": measured(2)}, 46 * 1.05 * 0.75 * 0.9),
        ({f"{UNDER}.circuits_together_count": measured(2), f"{UNDER}.buried_spacing": "1.0_m"}, 46 * 1.05 * 0.9 * 0.9),
        # deeper, 1 m: sqrt(ln(2800 / 63) / ln(4000 / 63)) = sqrt(3.794240 / 4.150915) = 0.956072
        ({f"{UNDER}.depth_m": measured(1)}, 46 * 1.05 * 0.9 * 0.956072),
    ],
)
def test_buried_by_hand(changes, iz_a):
    assert printed(judged(changes), "Iz_2") == pytest.approx(iz_a, rel=1e-6)


@pytest.mark.parametrize(
    ("changes", "iz_a"),
    [
        # 47 A: 35 C 0.94, 38 C as 40 C 0.87; below 25 C nothing beyond the 1.03 of 25 C
        ({"ambient_c": measured(35)}, 47 * 0.94),
        ({"ambient_c": measured(38)}, 47 * 0.87),
        ({"ambient_c": measured(10)}, 47 * 1.03),
        # three in a single layer touching 0.79; 2.4 circuits round up; ten bunched take the row of twelve, 0.45
        ({"circuits_together_count": measured(3)}, 47 * 0.79),
        ({"circuits_together_count": measured(2.4)}, 47 * 0.79),
        ({"circuits_together_count": measured(10), "arrangement": "bunched"}, 47 * 0.45),
        # insulation: 50 mm 0.88, 60 mm as 100 mm 0.78, beyond 500 mm half
        ({"insulation_mm": measured(50)}, 47 * 0.88),
        ({"insulation_mm": measured(60)}, 47 * 0.78),
        ({"insulation_mm": measured(2000)}, 47 * 0.5),
        # above 10 mm2 the table has no short lengths: 85 A x 0.5
        ({"insulation_mm": measured(50), "cable.size_mm2": 16}, 85 * 0.5),
        # method 100, 34 A, allows for the insulation itself; and groups as bunched: 34 x 0.8
        ({"method": "100", "insulation_mm": measured(2000)}, 34),
        ({"method": "100", "circuits_together_count": measured(2)}, 34 * 0.8),
    ],
)
def test_in_air_by_hand(changes, iz_a):
    finding = judged({f"{IN}.{name}": value for name, value in changes.items()})

    assert printed(finding, "Iz_1") == pytest.approx(iz_a)


def test_three_phases_take_the_three_core_column():
    # 4D4A, three loaded, 6 mm2: D 38 x 1.05 x 0.9, C 42
    armoured = {f"{IN}.cable.kind": "armoured_70c", f"{IN}.cable.cores_count": 5}
    finding = judged({"charge_point.phases": 3, **armoured})

    assert [printed(finding, f"Iz_{number}") for number in (1, 2, 3)] == pytest.approx([42, 35.91, 42])


@pytest.mark.parametrize(("rating_a", "verdict"), [(43.47, MET), (43.48, NOT_MET)])
def test_turns_at_the_weakest_stretch(rating_a, verdict):
    assert judged({"circuit.device.rating_a": rating_a}).verdict is verdict


def test_equal_on_paper_is_enough():
    # 64 A x 0.5 = 32 A: ten square millimetres wholly in insulation
    changes = {f"{IN}.cable.size_mm2": 10, f"{IN}.insulation_mm": measured(500)}

    assert judged(changes).verdict is MET
    # 46 x 0.95 (25 C) x 0.6 (four touching) x 0.9 is 23.598 A on paper, a hair less in binary
    changes = {f"{UNDER}.ambient_c": measured(25), f"{UNDER}.circuits_together_count": measured(4)}
    assert judged({**changes, "circuit.device.rating_a": 23.598}).verdict is MET
    assert judged({**changes, "circuit.device.rating_a": 23.599}).verdict is NOT_MET


@pytest.mark.parametrize(
    ("changes", "needs"),
    [
        ({f"{IN}.insulation_mm": None}, (f"{IN}.insulation_mm",)),
        ({f"{UP}.ambient_c": None}, (f"{UP}.ambient_c",)),
        ({f"{UNDER}.soil_k_m_per_w": None, f"{UNDER}.depth_m": None},
         (f"{UNDER}.soil_k_m_per_w", f"{UNDER}.depth_m")),
        ({f"{IN}.arrangement": None, f"{IN}.circuits_together_count": measured(2)}, (f"{IN}.arrangement",)),
        ({f"{UNDER}.buried_spacing": None, f"{UNDER}.circuits_together_count": assumed(1, 2)},
         (f"{UNDER}.buried_spacing",)),
        # 46 x 1.05 x 0.9 x 0.75 = 32.6 A bears 32 A; three together, x 0.65 = 28.3 A, do not
        ({f"{UNDER}.circuits_together_count": assumed(2, 3)}, (f"{UNDER}.circuits_together_count",)),
        # 47 A: half is 23.5 A
        ({f"{IN}.insulation_mm": assumed(0, 600)}, (f"{IN}.insulation_mm",)),
        # 49 A clipped by 70 C terminals, 62 A by 90 C; 40 A x 0.9 buried: 43.47 or 49.6
        ({"circuit.terminals_c": None, "circuit.device.rating_a": 45.0}, ("circuit.terminals_c",)),
        # soil beyond the table at its far end
        ({f"{UNDER}.soil_k_m_per_w": assumed(1, 5)}, (f"{UNDER}.soil_k_m_per_w",)),
        ({"circuit.device.kind": None}, ("circuit.device.kind",)),
        ({"route": ()}, ("route",)),
    ],
)  # fmt: skip
def test_asks_for_what_decides(changes, needs):
    finding = judged(changes)

    assert finding.verdict is OPEN
    assert set(needs) == set(finding.needs)


@pytest.mark.parametrize("name", ["insulation_mm", "soil_k_m_per_w", "depth_m", "arrangement", "buried_spacing"])
def test_does_not_ask_for_what_does_not_decide(name):
    # buried cable is not asked for insulation, cable in air not for soil, one circuit alone not for its place
    alone = {f"{IN}.insulation_mm": measured(0), f"{UP}.insulation_mm": measured(0)}
    where = {"insulation_mm": [UNDER], "arrangement": [IN, UNDER, UP], "buried_spacing": [IN, UNDER, UP]}

    changes = alone | {f"{section}.{name}": None for section in where.get(name, [IN, UP])}
    assert judged(changes).verdict is MET


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({f"{IN}.method": "103"}, "23.5"),
        ({f"{UNDER}.circuits_together_count": measured(3)}, "28.2 A"),
    ],
)
def test_names_the_weakest_stretch(changes, words):
    # method 103 on 6 mm2 is 23.5 A (4D5); 46 x 1.05 x 0.65 x 0.9 = 28.2555 A
    finding = judged(changes)

    assert finding.verdict is NOT_MET
    assert words in finding.says


@pytest.mark.parametrize(
    "changes",
    [
        {f"{UNDER}.soil_k_m_per_w": measured(5)},
        {f"{IN}.ambient_c": measured(65)},
        {f"{IN}.circuits_together_count": measured(10)},
        {f"{IN}.cable.size_mm2": 7.0},
        {f"{IN}.method": "F"},
    ],
)
def test_beyond_the_tables_is_for_the_designer(changes):
    finding = judged(changes)

    assert finding.verdict is DESIGNER
    assert "tables held here end" in finding.says


@pytest.mark.parametrize(
    ("rating_a", "verdict"), [(41.56, MET), (41.57, DESIGNER), (43.47, DESIGNER), (43.48, NOT_MET)]
)
def test_deeper_than_the_table_only_the_margin_is_for_the_designer(rating_a, verdict):
    # 43.47 A at 0.7 m; at 1 m at least x 0.956072 = 41.5604 A
    assert judged({f"{UNDER}.depth_m": measured(1), "circuit.device.rating_a": rating_a}).verdict is verdict


@pytest.mark.parametrize(
    ("terminals_c", "words"),
    [(70, "The terminals are for 70 °C, so"), (None, "The terminals are not known to bear 90 °C, so")],
)
def test_says_why_hot_cable_is_rated_cool(terminals_c, words):
    remarks = [step.formula for step in judged({"circuit.terminals_c": terminals_c}).working if not step.symbol]

    assert sum(remark.startswith(words) and remark.endswith("rated as a 70 °C one.") for remark in remarks) == 2


@pytest.mark.parametrize("kind", ["flat_twin_and_earth", "singles_70c", "singles_90c"])
def test_bare_cable_is_not_to_be_buried(kind):
    finding = judged({f"{UNDER}.cable.kind": kind})

    assert finding.verdict is NOT_MET
    assert "(under the garden) must not be buried: use armoured cable." in finding.says


def test_a_setting_that_decides_is_asked_whether_it_is_locked():
    # rated 40 A, set to 32 A on a 32 A device
    path = "charge_point.set_locked_from_customer"
    higher = {"charge_point.rated_a": 40.0, "charge_point.set_a": 32.0}
    finding = device_carries_design_current(house({**higher, path: None}))

    assert finding.needs == (path,)
    assert "not known to be kept from raising it" in finding.working[0].source
    assert device_carries_design_current(house({**higher, path: False})).verdict is NOT_MET
    assert device_carries_design_current(house({**higher, path: None, "charge_point.set_a": 33.0})).verdict is NOT_MET
