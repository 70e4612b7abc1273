"""Boxes about the tests and about who signs for what."""

from __future__ import annotations

import datetime

from ampwright.assess.paperwork.desk import Desk, Fill, Filled, from_paths, under
from ampwright.assess.testing.sheet import sheet
from ampwright.job.days import commissioning_day, tests_day
from ampwright.reading import Reading
from ampwright.working import Verdict, up, written_day


def signer(desk: Desk, duty: str) -> Filled:
    """The name of whoever signs for it."""
    return _of_signer(desk, duty, "name")


def signature(desk: Desk, duty: str) -> Filled:
    """The signature of whoever signs for it: one mark may stand for several duties of one person."""
    return _of_signer(desk, duty, "signature")


def _of_signer(desk: Desk, duty: str, what: str) -> Filled:
    """The customer signs the order; an installer who names no other designs and inspects as well."""
    role = {"order": "customer", "design": "designer", "inspection": "inspector"}.get(duty, "installer")
    if desk.person(role) is None and role != "customer":
        role = "installer"
    return from_paths(desk, f"people[{role}].{what}")


def vulnerable(desk: Desk, _: str) -> Filled:
    """The charge point always, surge protection where it is fitted, and what else was listed."""
    protection, more = desk.job.installation.surge_protection, desk.job.tests.vulnerable
    paths = ("installation.surge_protection", "tests.vulnerable")
    if protection is None:
        return Filled(None, paths)
    found = ["the charge point's electronics", *(["surge protection"] if protection else []), *([more] if more else [])]
    return Filled(f"part before the insulation test: {', '.join(found)}", paths)


def instrument(desk: Desk, use: str) -> Filled:
    """Serial number of each instrument that was used for it."""
    number = [place for place, each in enumerate(desk.job.tests.instruments) if use in each.used_for]
    found = [desk.job.tests.instruments[place].serial for place in number]
    paths = tuple(f"tests.instruments[{place}].{what}" for place in number for what in ("used_for", "serial"))
    known = [each for each in found if each]
    return Filled(", ".join(known) if known and len(known) == len(found) else None, paths or ("tests.instruments",))


def loop(desk: Desk, _: str) -> Filled:
    """Zs as the test sheet has it: read, or reckoned from Ze and R1 + R2 as read; on an electrode its resistance."""
    boxes = {box.test.id: box for box in sheet(desk.job).boxes}
    box = boxes.get("zs") or boxes.get("electrode")
    if box is None or not isinstance(box.reading, Reading):
        return Filled(None)
    how = "by calculation: Ze plus R1 + R2" if box.by_calculation else "measured"
    return Filled(f"{up(box.reading.high)} Ω, {how}")


def pilot(desk: Desk, state: str) -> Filled:
    """What was seen in that state of the car, and whether all states were answered as they should be."""
    number = next((place for place, each in enumerate(desk.job.tests.pilot) if each.state == state), None)
    if number is None:
        return Filled(None, ("tests.pilot",))
    read, group = desk.job.tests.pilot[number], f"tests.pilot[{number}]"
    paths = tuple(f"{group}.{what}" for what in ("state", "output_live", "high_v"))
    if read.output_live is None:
        return Filled(None, paths)
    volts = "" if read.high_v is None else f", {read.high_v.ends} V"
    return Filled(f"output {'live' if read.output_live else 'dead'}{volts}", paths)


def pilot_offer(desk: Desk, _: str) -> Filled:
    """The duty cycle as read, and the current that it offers."""
    paths = tuple(path for path in under(desk.job, "tests.pilot[]") if path.endswith("duty_percent"))
    offered_a = desk.symbol("pilot_offers_no_more", "Icp")
    read = next((each.duty_percent for each in desk.job.tests.pilot if each.duty_percent is not None), None)
    if read is None or offered_a is None:
        return Filled(None, paths or ("tests.pilot",))
    return Filled(f"{read.ends} %, offers {offered_a:.1f} A", paths)


def dc_detection(desk: Desk, _: str) -> Filled:
    """That it cut off at the smooth direct current of the test, and how fast."""
    check, read, paths = desk.check("dc_detection_in_time"), desk.job.tests.dc_s, ("tests.dc_s",)
    current_ma = desk.symbol("dc_detection_in_time", "Idc")
    if read is None or current_ma is None:
        return Filled(None, paths)
    acted = "cut off" if check.verdict is Verdict.MET else "NOT in time"
    return Filled(f"{acted} at {current_ma:g} mA after {read.ends} s", paths)


def sensor_readings(desk: Desk, _: str) -> Filled:
    """How many readings were taken; each stands in the record."""
    count = len(desk.job.tests.sensing)
    return Filled(f"{count} readings" if count else None, under(desk.job, "tests.sensing[]") or ("tests.sensing",))


def tests_dated(desk: Desk, _: str) -> Filled:
    """The day of the tests."""
    return _day(tests_day(desk.job), desk.job.tests.date, ("tests.date", "dates.installed"))


def commissioned(desk: Desk, _: str) -> Filled:
    """The day that the generation was put to work."""
    paths = ("generation.commissioned", "generation.part_of_this_job", "dates.installed")
    return _day(commissioning_day(desk.job), desk.job.generation.commissioned, paths)


def _day(day: datetime.date | None, stated: datetime.date | None, paths: tuple[str, ...]) -> Filled:
    """A day; one that is supposed says so."""
    if day is None or stated is not None:
        return Filled(None if day is None else written_day(day), paths[:1])
    return Filled(f"{written_day(day)}, the day of installation: no other is stated", paths)


def warranty(desk: Desk, _: str) -> Filled:
    """In years."""
    found = from_paths(desk, "charge_point.made.warranty_years_count")
    return found if found.value is None else Filled(f"{found.value} years", found.paths)


TESTED: dict[str, Fill] = {each.__name__: each for each in (
    signer, signature, vulnerable, instrument, loop, pilot, pilot_offer, dc_detection, sensor_readings, warranty,
    tests_dated, commissioned,
)}  # fmt: skip
