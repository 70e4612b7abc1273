"""What undoes a load cap whatever its figure."""

import pytest
from situations import LIMIT, capped

from ampwright.assess.load_cap.checks import cap_can_count
from ampwright.working import Verdict

FITTED, LOCKED, REACH = f"{LIMIT}.fitted", f"{LIMIT}.locked_from_customer", "sensors[0].reach"


def test_fitted_locked_and_round_one_conductor_it_counts():
    assert cap_can_count(capped({REACH: "single core in the open"})).verdict is Verdict.MET


@pytest.mark.parametrize(
    ("changes", "says"),
    [({LOCKED: False}, "The customer can change it."),
     ({REACH: "whole cable only"}, "The at the tails would be round a whole cable, where it reads nothing.")],
)  # fmt: skip
def test_what_undoes_it_is_not_met(changes, says):
    finding = cap_can_count(capped(changes))
    assert (finding.verdict, finding.says) == (Verdict.NOT_MET, says)


@pytest.mark.parametrize("path", [FITTED, LOCKED])
def test_what_was_not_looked_at_is_asked(path):
    assert cap_can_count(capped({path: None})).needs == (path,)


@pytest.mark.parametrize("changes", [{FITTED: False}, {"supply.looped": True}])
def test_none_fitted_and_a_looped_supply_are_left_to_the_designer(changes):
    assert cap_can_count(capped(changes)).verdict is Verdict.FOR_THE_DESIGNER
