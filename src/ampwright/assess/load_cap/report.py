"""Every question on the load cap of a job, the cap that is offered, and the worst day that was found against it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from ampwright.assess.load_cap.checks import (
    cap_by_its_errors,
    cap_can_count,
    fuse_under_attack,
    fuse_with_every_load,
    house_alone,
    parts_with_sources,
    tails_under_attack,
)
from ampwright.assess.load_cap.day import Day, worst_day
from ampwright.assess.load_cap.reckoning import LineCap, attack_gaps, worst_line
from ampwright.assess.load_cap.signal import (
    fallback_current,
    readings_arrive,
    sensor_proved,
    solar_by_radio,
    time_to_restore,
    watchdog_time,
    wired_or_radio,
)
from ampwright.facts import NoRow, look_up_text
from ampwright.job.record import Job
from ampwright.rules.gb.book import GB
from ampwright.rules.regulation import Regulation
from ampwright.working import Check, Trust, Verdict

OWN = "our own reckoning"
OF_THE_SETTING = ("cap_by_its_errors", "fuse_under_attack", "wired_or_radio")
HOLDS = (Verdict.MET, Verdict.DOES_NOT_APPLY)
QUESTIONS: tuple[tuple[Regulation, str], ...] = (
    (cap_can_count, OWN),
    (house_alone, "demand after diversity"),
    (cap_by_its_errors, OWN),
    (fuse_under_attack, OWN),
    (tails_under_attack, OWN),
    (parts_with_sources, OWN),
    (fuse_with_every_load, OWN),
    (fallback_current, OWN),
    (watchdog_time, "EREC G100 and our own reckoning"),
    (time_to_restore, "EREC G100"),
    (sensor_proved, OWN),
    (wired_or_radio, "common practice, no source"),
    (readings_arrive, OWN),
    (solar_by_radio, "common practice, no source"),
)


@dataclass(frozen=True)
class Report:
    """The answers in reading order, the cap that stands in A (None if none does or too little is known), the day."""

    job: Job
    edition: str
    checks: tuple[Check, ...]
    stands_a: float | None
    line: LineCap | None
    day: Day | None

    def count(self, verdict: Verdict) -> int:
        """How many answers have this verdict."""
        return Counter(check.verdict for check in self.checks)[verdict]

    @property
    def offered_a(self) -> float | None:
        """The cap to set, A: none while anything but the setting itself is not met, nor behind another house's load."""
        spoilt = any(check.verdict is Verdict.NOT_MET and check.rule not in OF_THE_SETTING for check in self.checks)
        return None if spoilt or self.job.supply.looped else self.stands_a

    @property
    def may_stand(self) -> bool:
        """Whether a cap stands where the survey turns out well, though none does where it turns out badly."""
        fuse = next(check for check in self.checks if check.rule == "fuse_under_attack")
        return fuse.verdict is Verdict.NOT_YET_KNOWN

    @property
    def exit_status(self) -> int:
        """1 if something is not met, else 2 if something is open or no cap is offered, else 0."""
        if self.count(Verdict.NOT_MET):
            return 1
        return 2 if self.count(Verdict.NOT_YET_KNOWN) or self.offered_a is None else 0

    @property
    def tables_end(self) -> bool:
        """Whether all is known that is asked for and no published figure is held for it."""
        return self.line is None and not attack_gaps(self.job)

    @property
    def house_within_a(self) -> float | None:
        """What the house must keep within for the cap to hold, A, where every load at once is not shown to do."""
        every = next((check for check in self.checks if check.rule == "fuse_with_every_load"), None)
        if every is None or self.line is None or self.line.situation is None or every.verdict in HOLDS:
            return None
        return self.line.situation.house_a + self.line.situation.unseen_a


def report(job: Job, *, attacked: bool = True) -> Report:
    """Answer every question, and unless told not to let the opponent loose on the cap that stands (or, where none
    does, on that which is right by its errors alone)."""
    edition = GB.edition_for(job)
    checks = tuple(_check(each, job, clause, edition) for each, clause in QUESTIONS)
    line = _line(job)
    day = None
    if attacked and line is not None and line.situation is not None:
        day = worst_day(line.situation, line.fuse, line.tails)
    return Report(job, edition, checks, None if line is None else line.stands_a, line, day)


def _line(job: Job) -> LineCap | None:
    """The line that decides, if enough is known; where our tables end the checks have said so."""
    if attack_gaps(job):
        return None
    try:
        return worst_line(job, True)
    except NoRow:
        return None


def _check(rule: Regulation, job: Job, clause: str, edition: str) -> Check:
    finding = rule(job)
    cautions = tuple(look_up_text("gb/cautions", "text", id=each) for each in finding.cautions)
    return Check(rule=rule.name, clause=clause, edition=edition, asks=rule.asks, verdict=finding.verdict,
                 says=finding.says, needs=finding.needs, cautions=cautions, working=finding.working,
                 clause_trust=Trust.DERIVED)  # fmt: skip
