"""The test sheet of a job: a box for each test, with what it should read, its limit, its verdict and what it means."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ampwright.assess.book import BOOK
from ampwright.assess.testing import expected as to_expect
from ampwright.assess.testing.doubts import Cause, Doubt, of_electrode, of_loop, of_route
from ampwright.assess.testing.expected import Expected, practice
from ampwright.assess.testing.order import Row, order, titled
from ampwright.facts import NoRow, look_up
from ampwright.job.days import tests_day
from ampwright.job.paths import at, replaced
from ampwright.job.record import Job
from ampwright.reading import Reading, measured
from ampwright.rules.gb.parts.loop import on_electrode
from ampwright.working import Check, Verdict

NOTHING = Expected()
EXPECTED: dict[str, Callable[[Job], Expected]] = {
    "r1r2": to_expect.r1r2, "zs": to_expect.zs, "electrode": to_expect.electrode, "pfc": to_expect.pfc,
    "duty": to_expect.duty,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Limit:
    """What a reading may be at most or least, in the unit of its box, or what must be known before that can be said."""

    value: float | None = None
    needs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Box:
    """One test. `limit` and `check` come from the rule; `reading` is None until there is one; `supposed` is what the
    record supposes instead: a range that no instrument read; `by_calculation` says that the reading is reckoned;
    `repeat` are the titles of the tests to do again where it failed.
    """

    test: Row
    expected: Expected
    limit: Limit
    check: Check | None
    reading: Reading | bool | str | None
    supposed: Reading | None = None
    by_calculation: bool = False
    doubt: Doubt | None = None
    repeat: tuple[str, ...] = ()

    @property
    def failed(self) -> bool:
        """Whether what was read is not met; of what no rule judges, whether it is said not to be so."""
        if self.check is None:
            return self.reading is False
        return self.reading is not None and self.check.verdict is Verdict.NOT_MET


@dataclass(frozen=True, slots=True)
class Sheet:
    """All boxes in order, and what is to be said of the instruments."""

    job: Job
    edition: str
    boxes: tuple[Box, ...]
    instruments: tuple[str, ...]
    faults: tuple[str, ...]

    @property
    def before_energising(self) -> tuple[str, ...]:
        """The titles of the dead tests that failed, read oddly or are still to do."""
        return tuple(each.test.title for each in self.boxes if each.test.stage == "dead" and each.test.rule
                     and (each.reading is None or each.failed or each.doubt is not None))  # fmt: skip

    @property
    def exit_status(self) -> int:
        """1 if a test failed, 2 if one is still to do, odd or with an instrument in doubt, else 0."""
        if any(each.failed for each in self.boxes):
            return 1
        waits = any(each.doubt is not None or each.reading is None for each in self.boxes)
        unsettled = any(each.check is not None and each.reading is not None and each.check.verdict
                        not in (Verdict.MET, Verdict.DOES_NOT_APPLY) for each in self.boxes)  # fmt: skip
        return 2 if waits or unsettled or self.faults else 0


def sheet(job: Job) -> Sheet:
    """The test sheet of a job, judged by the rules of the book."""
    boxes = tuple(_box(job, test) for test in order() if not _left_out(job, test))
    lines, faults = _instruments(job)
    return Sheet(job, BOOK.edition_for(job), boxes, lines, faults)


def _left_out(job: Job, test: Row) -> bool:
    """What this job has no cause to test: no electrode, no load cap, no open-PEN device, no detection of its own."""
    point = job.charge_point
    return {
        "electrode": on_electrode(job) is False,
        "ze": job.supply.earthing == "TT",
        "zs": on_electrode(job) is True,
        "dc": point.dc_detection is False,
        "open_pen": point.open_pen == "none" or on_electrode(job) is True,
        "lost_sensor": point.load_cap.fitted is False,
    }.get(test.id, False)


def _box(job: Job, test: Row) -> Box:
    if not test.rule:
        done = at(job, test.path)
        return Box(test, NOTHING, Limit(), None, done, repeat=_again(test) if done is False else ())
    should = EXPECTED[test.id](job) if test.id in EXPECTED else NOTHING
    reading, reckoned = _reading(job, test, should)
    check = _judged(job, test, reading if isinstance(reading, Reading) else None)
    failed = reading is not None and check.verdict is Verdict.NOT_MET
    return Box(
        test=test,
        expected=should,
        limit=_limit(job, test, check),
        check=check,
        reading=reading,
        supposed=_supposed(job, test),
        by_calculation=reckoned,
        doubt=_doubt(job, test, reading, should) if not reckoned else None,
        repeat=_again(test) if failed else (),
    )


def _again(test: Row) -> tuple[str, ...]:
    return tuple(titled(each) for each in test.repeat)


def _reading(job: Job, test: Row, should: Expected) -> tuple[Reading | bool | str | None, bool]:
    """What was read; Zs is reckoned once R1 + R2 was read, so that nobody need work live."""
    if test.id in ("pilot", "duty"):
        return _pilot_words(job, test.id), False
    read = at(job, test.path) if _supposed(job, test) is None else None
    if test.id == "zs" and read is None and job.tests.r1r2_ohm is not None and should.low is not None:
        return Reading(should.low, should.high or should.low, should.basis), True
    return read, False


def _supposed(job: Job, test: Row) -> Reading | None:
    """What the survey gives as a range that no instrument read is no result of a test."""
    known = None if test.path.startswith("tests.") else at(job, test.path)
    return known if isinstance(known, Reading) and not known.exact and not known.with_what else None


def _pilot_words(job: Job, test_id: str) -> str | None:
    if test_id == "duty":
        read = [f"{each.duty_percent.high:g} % in state {each.state}" for each in job.tests.pilot
                if each.duty_percent is not None]  # fmt: skip
    else:
        live = {True: "live", False: "dead", None: "output not looked at"}
        read = [f"{each.state} {live[each.output_live]}" for each in job.tests.pilot]
    return ", ".join(read) or None


def _judged(job: Job, test: Row, reading: Reading | None) -> Check:
    """The rule's answer; for R1 + R2 that on the loop which it makes with Ze."""
    if test.id == "zs" and reading is not None:
        job = replaced(job, test.path, reading)
    if test.id == "r1r2":
        ze = job.supply.ze_ohm
        loop = None if ze is None or reading is None else Reading(
            ze.low + reading.low, ze.high + reading.high, "Ze plus R1 + R2 as read")  # fmt: skip
        job = replaced(job, "tests.zs_ohm", loop)
    return BOOK.judge(job, test.rule)[0]


def _limit(job: Job, test: Row, check: Check) -> Limit:
    """The limit as the rule itself works it out, asked with a trial reading where there is none yet."""
    found, needs = _on_sheet(check, "Zcold" if test.id == "r1r2" else test.limit), check.needs
    if found is None and (test.trial or test.id == "r1r2"):
        path = "tests.zs_ohm" if test.id == "r1r2" else test.path
        tried = replaced(job, path, measured(float(test.trial or 1)))
        if test.id == "lost_sensor":
            tried = replaced(tried, "tests.lead_off_s", measured(0))
        trial = BOOK.judge(tried, test.rule)[0]
        found, needs = _on_sheet(trial, "Zcold" if test.id == "r1r2" else test.limit), trial.needs
    if found is None or test.id != "r1r2":
        return Limit(found, needs if found is None else ())
    ze = job.supply.ze_ohm
    return Limit(None, ("supply.ze_ohm",)) if ze is None else Limit(found - ze.high)


def _on_sheet(check: Check, symbol: str) -> float | None:
    return next((step.value for step in check.working if symbol and step.symbol == symbol), None)


def _doubt(job: Job, test: Row, reading: Reading | bool | str | None, should: Expected) -> Doubt | None:
    if not isinstance(reading, Reading):
        return None
    if test.id == "insulation":
        return _low_insulation(reading)
    if test.id == "rcd":
        return _odd_rcd(job, reading)
    judges = {"r1r2": of_route, "zs": of_loop, "electrode": of_electrode}
    return judges[test.id](job, reading, should) if test.id in judges and should.known else None


def _low_insulation(reading: Reading) -> Doubt | None:
    usual = practice("insulation_new")
    if reading.high >= usual:
        return None
    causes = (
        Cause("something left connected: charge point, surge protection, an indicator", "disconnect it, read again"),
        Cause("damp in a gland or a cut end", "dry it, make the end again, read again"),
        Cause("a sheath or a core damaged in pulling", "read section by section"),
    )
    return Doubt(f"lower than a new circuit gives: {usual:g} MΩ or more", causes, ())


def _odd_rcd(job: Job, reading: Reading) -> Doubt | None:
    if job.circuit.rcd.delayed is None:
        return None
    if job.circuit.rcd.delayed:
        try:
            least_ms = look_up("gb/rcd_times", "min_ms", kind="delay_s", multiple_ratio=1).value
        except NoRow:
            return None
        wrong = Cause("not the delayed device entered", "read the type on its front")
        says = f"quicker than a delayed device may be: {least_ms:g} ms at least"
        return Doubt(says, (wrong,), ()) if reading.low < least_ms else None
    usual_ms = practice("rcd_usual_most")
    if reading.low <= usual_ms:
        return None
    causes = (
        Cause("a delayed device where one without delay was entered", "read the type on its front"),
        Cause("a device that sticks", "press its test button, test again; change it if it is still slow"),
    )
    return Doubt(f"slower than usual: {usual_ms:g} ms or less", causes, ())


def _instruments(job: Job) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """A line for each instrument, and what is wrong with what was said of them."""
    tests, on, lines, faults = job.tests, tests_day(job), [], []
    for each in tests.instruments:
        due = f", calibration runs out {each.calibration_due}" if each.calibration_due else ""
        done = f", calibrated {each.calibrated}" if each.calibrated else ""
        lines.append(f"{each.name}, serial {each.serial or 'not stated'}{done}{due}")
        if each.serial is None:
            faults.append(f"{each.name}: its serial number is not stated.")
        if each.calibrated is None and each.calibration_due is None:
            faults.append(f"{each.name}: no date of calibration is stated.")
        if on and each.calibration_due and each.calibration_due < on:
            faults.append(f"{each.name}: its calibration ran out on {each.calibration_due}, before the tests on "
                          f"{on}; check it against known resistances, or test again.")  # fmt: skip
        if on and each.calibrated and each.calibrated > on:
            faults.append(f"{each.name}: it was calibrated on {each.calibrated}, after the tests on {on}.")
    if not lines:
        lines = [tests.instrument] if tests.instrument else []
    return tuple(lines), tuple(faults)
