"""What the house does round a rule."""

import datetime

import pytest

from ampwright.facts import TableError
from ampwright.job.record import Job, Supply
from ampwright.reading import BEST, WORST, assumed, measured
from ampwright.rules.gb.book import GB
from ampwright.rules.regulation import Finding, ask, regulation, seen, weigh
from ampwright.working import Verdict, Working


@regulation(asks="Is the loop under 0.3 ohm?", needs=("supply.ze_ohm",))
def loop_is_low(job: Job) -> Finding:
    """A rule for this test."""
    ze = seen(job.supply.ze_ohm)
    return weigh(best=BEST.more_hurts(ze) <= 0.3, worst=WORST.more_hurts(ze) <= 0.3, says="So.", sheet=Working())


@pytest.mark.parametrize(
    ("ze", "verdict", "needs"),
    [
        (measured(0.3), Verdict.MET, ()),
        (measured(0.31), Verdict.NOT_MET, ()),
        (assumed(0.1, 0.35), Verdict.NOT_YET_KNOWN, ("supply.ze_ohm",)),
        (assumed(0.31, 0.35), Verdict.NOT_MET, ()),
        (None, Verdict.NOT_YET_KNOWN, ("supply.ze_ohm",)),
    ],
)
def test_both_ends_are_weighed(ze, verdict, needs):
    finding = loop_is_low(Job(supply=Supply(ze_ohm=ze)))
    assert (finding.verdict, finding.needs) == (verdict, needs)


def test_a_rule_may_ask_for_itself():
    assert ask("a", "b").needs == ("a", "b")


def test_a_field_that_no_need_names_is_a_fault_of_the_rule():
    with pytest.raises(LookupError, match="needs do not name"):
        seen(None)


@pytest.mark.parametrize(
    ("job", "edition"),
    [
        (Job(), "BS 7671:2018+A4:2026"),
        (Job(date=datetime.date(2026, 4, 14)), "BS 7671:2018+A2:2022+A3:2024"),
        (Job(date=datetime.date(2026, 4, 15)), "BS 7671:2018+A4:2026"),
        (Job(date=datetime.date(2026, 11, 1), edition="BS 7671:2018+A2:2022+A3:2024"), "BS 7671:2018+A2:2022+A3:2024"),
    ],
)
def test_a_job_keeps_its_edition_and_else_takes_that_of_its_day(job, edition):
    assert GB.edition_for(job) == edition


def test_an_edition_that_nobody_knows_is_refused():
    with pytest.raises(TableError, match="knows no edition"):
        GB.edition_for(Job(edition="BS 7671:2031"))
