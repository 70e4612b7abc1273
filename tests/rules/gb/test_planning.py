"""Planning law by nation and by day."""

import datetime

import pytest
from jobs import house

from ampwright.reading import assumed, measured
from ampwright.rules.gb.planning import planning_permission
from ampwright.working import Verdict

MET, NOT_MET, OPEN, JUDGE = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_YET_KNOWN, Verdict.FOR_THE_DESIGNER
POST = {"charge_point.mounting": "post", "charge_point.post_height_m": measured(1.2)}
CASING, HEIGHT = "charge_point.casing_m3", "charge_point.post_height_m"


@pytest.mark.parametrize(
    ("changes", "verdict", "needs"),
    # England: 0.2 m3 on a wall (Class D, SI 2015/596), 1.6 m post at a house (Class E)
    [
        ({CASING: measured(0.2)}, MET, ()),
        ({CASING: measured(0.201)}, NOT_MET, ()),
        ({CASING: assumed(0.1, 0.3)}, OPEN, (CASING,)),
        ({CASING: None}, OPEN, (CASING,)),
        ({**POST, HEIGHT: measured(1.6)}, MET, ()),
        ({**POST, HEIGHT: measured(1.61)}, NOT_MET, ()),
        ({**POST, HEIGHT: assumed(1.5, 1.7)}, OPEN, (HEIGHT,)),
        ({**POST, HEIGHT: None}, OPEN, (HEIGHT,)),
        ({"charge_point.mounting": None}, OPEN, ("charge_point.mounting",)),
        ({"site.listed": True}, NOT_MET, ()),
        ({"site.scheduled_monument": True}, NOT_MET, ()),
        ({"site.listed": None}, OPEN, ("site.listed",)),
        ({"site.nation": None}, OPEN, ("site.nation",)),
        ({"site.nation": "Scotland"}, JUDGE, ()),
        ({"site.nation": "Wales"}, JUDGE, ()),
        ({"site.nation": "Northern Ireland"}, JUDGE, ()),
        ({"date": None}, MET, ()),
    ],
)
def test_planning_permission(changes, verdict, needs):
    finding = planning_permission(house(changes))
    assert (finding.verdict, finding.needs) == (verdict, needs)


@pytest.mark.parametrize("mounting", [{}, POST])
@pytest.mark.parametrize(
    ("day", "verdict"),
    # the limits near a highway ended on 29 May 2025
    [(datetime.date(2025, 5, 28), JUDGE), (datetime.date(2025, 5, 29), MET)],
)
def test_the_highway_counts_until_the_order_of_2025(mounting, day, verdict):
    finding = planning_permission(house({**mounting, "date": day}))
    assert finding.verdict is verdict
    assert ("within 2 m of a highway" in finding.says) is (verdict is JUDGE)


def test_says_both_numbers_and_the_conditions():
    finding = planning_permission(house({CASING: measured(0.25)}))
    assert finding.says == "The casing is 0.25 m³; the limit on a wall is 0.2 m³."
    assert any("conservation area" in step.formula for step in finding.working)
    assert "Northern Ireland has its own orders" in planning_permission(house({"site.nation": "Northern Ireland"})).says


# SI 2019/330 (W. 80) Class D: 0.2 m³; SSI 2023/35 and planning circular 2/2024, Class 9E: 0.5 m³
@pytest.mark.parametrize(("nation", "most_m3"), [("Wales", 0.2), ("Scotland", 0.5)])
def test_other_nations_have_their_own_figures(nation, most_m3):
    job = {"site.nation": nation}
    fits = planning_permission(house({**job, "charge_point.casing_m3": measured(most_m3)}))
    assert fits.verdict is Verdict.FOR_THE_DESIGNER
    assert "within 2 m of a highway" in fits.says
    larger = planning_permission(house({**job, "charge_point.casing_m3": measured(most_m3 + 0.01)}))
    assert larger.verdict is Verdict.NOT_MET


def test_a_welsh_job_before_the_order_has_no_figure():
    job = house({"site.nation": "Wales", "date": datetime.date(2019, 3, 31)})
    assert "gives no figure for that day" in planning_permission(job).says
