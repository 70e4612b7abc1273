"""BS 7671 chapters 44, 46 and 51 with section 722: isolation, surges, weather and knocks."""

from __future__ import annotations

import re

from ampwright.facts import look_up_text
from ampwright.job.paths import unseen
from ampwright.job.record import Job
from ampwright.rules.gb.parts.loop import EARTHED, on_electrode
from ampwright.rules.regulation import (
    Finding,
    ask,
    does_not_apply,
    for_the_designer,
    regulation,
    seen,
    settled,
)
from ampwright.working import Working

_IP = re.compile(r"IP\s*([0-6X])\s*([0-9X])", re.IGNORECASE)
_IK = re.compile(r"IK\s*(\d{1,2})", re.IGNORECASE)
_SOURCES = ("generation", "storage")
_MEANS = ("circuit.local_isolator", "circuit.device.kind")
_FUSES = ("bs88_2", "bs88_3", "bs1361", "bs3036", "bs1362")


@regulation(asks="Can the charge point be isolated from every source?",
            needs=("generation.fitted", "storage.fitted"))  # fmt: skip
def isolation_provided(job: Job) -> Finding:
    """An isolator at the charge point cuts all; the device at the board cuts all but a source on the circuit."""
    if job.circuit.local_isolator is None and job.circuit.device.kind is None:
        return ask(*_MEANS)
    sources = [name for name in _SOURCES if getattr(job, name).fitted]
    sheet = Working()
    cautions = _isolation(job, sources, sheet)
    if job.circuit.local_isolator:
        says = f"The isolator at the charge point cuts it off{_and_what(sources)}."
        return settled(True, says, sheet, cautions)
    paths = tuple(f"{name}.on_charge_point_circuit" for name in sources)
    on_circuit = [name for name in sources if getattr(job, name).on_charge_point_circuit]
    if on_circuit and job.circuit.local_isolator is False:
        says = f"The device at the board leaves the {' and the '.join(on_circuit)} feeding the same circuit."
        return settled(False, f"{says} An isolator at the charge point is wanted.", sheet, cautions)
    gaps = unseen(job, paths) or (unseen(job, _MEANS) if on_circuit else unseen(job, _MEANS[1:]))
    if gaps:
        return ask(*gaps)
    electrode = on_electrode(job)
    if electrode is None:
        return ask(*unseen(job, EARTHED))
    rcd = job.circuit.rcd
    if electrode and not (rcd.fitted and rcd.poles in (2, 4)):
        says = "On an electrode the neutral must be cut off too, and the device at the board is not known to do so."
        return for_the_designer(says, sheet, cautions)
    says = f"The circuit's own device at the board cuts the charge point off, locked off{_and_what(sources)}."
    return settled(True, says, sheet, cautions)


@regulation(asks="Has protection against surges been decided?", needs=("installation.surge_protection",))
def surge_protection_decided(job: Job) -> Finding:
    """Fitted, or a reasoned and written decision of the owner."""
    sheet = Working()
    if job.installation.surge_protection:
        return settled(True, "Surge protection is fitted.", sheet)
    sheet.remark("For it: what it guards (charge point, car, inverter, battery, boards) against what it costs.")
    sheet.remark("Wanted in any case where a surge could injure somebody, as where life hangs on equipment.")
    sheet.remark("Against it: the owner of a single dwelling may bear the risk, and says so in writing.")
    return for_the_designer("Surge protection is not fitted: fit it, or keep the owner's written decision.", sheet)


@regulation(asks="Does the enclosure keep the weather out?", needs=("charge_point.outdoors",))
def enclosure_keeps_weather_out(job: Job) -> Finding:
    """Both digits of the IP code out of doors, as the least allowed or better."""
    if not job.charge_point.outdoors:
        return does_not_apply("The charge point does not stand out of doors.")
    if job.charge_point.ip is None:
        return ask("charge_point.ip")
    least = look_up_text("gb/ip_ik", "minimum", place="outdoors_ingress")
    has, wants = _digits(job.charge_point.ip), _digits(least)
    if has is None or wants is None:
        return ask("charge_point.ip", says=f"{job.charge_point.ip!r} is not an IP code such as {least}.")
    sheet = _least_on_sheet(least, "outdoors_ingress")
    says = f"The enclosure is {job.charge_point.ip}; {least} or better is wanted out of doors."
    if any(mine is not None and mine < want for mine, want in zip(has, wants, strict=True) if want is not None):
        return settled(False, says, sheet)
    if None in has:
        return ask("charge_point.ip", says=f"{says} An X says nothing of that digit: see the maker's papers.")
    return settled(True, says, sheet)


@regulation(asks="Does the enclosure take knocks from cars?")
def enclosure_takes_knocks(job: Job) -> Finding:
    """An IK code as the least allowed or better, or a place or guard that keeps cars off."""
    least = look_up_text("gb/ip_ik", "minimum", place="outdoors_impact")
    sheet = _least_on_sheet(least, "outdoors_impact")
    charge_point = job.charge_point
    has, wants = _level(charge_point.ik), seen(_level(least))
    if has is not None and has >= wants:
        return settled(True, f"The enclosure is {charge_point.ik}; {least} or better is wanted.", sheet)
    if charge_point.guarded_from_knocks:
        return settled(True, "Its place or a guard keeps cars off the charge point.", sheet)
    if charge_point.ik is not None and has is None:
        return ask("charge_point.ik", says=f"{charge_point.ik!r} is not an IK code such as {least}.")
    gaps = unseen(job, ("charge_point.ik", "charge_point.guarded_from_knocks"))
    if gaps:
        return ask(*gaps)
    return settled(False, f"The enclosure is {charge_point.ik}; {least} or a guard is wanted.", sheet)


def _isolation(job: Job, sources: list[str], sheet: Working) -> tuple[str, ...]:
    """Remarks on how it is done, and the cautions that belong to it."""
    if job.circuit.device.kind in _FUSES and not job.circuit.local_isolator:
        sheet.remark("Drawing the fuse leaves the neutral connected; on TT the main switch cuts that too.")
    if job.supply.isolator is False:
        sheet.remark("No isolator between meter and board: operator or supplier isolates for work on the tails.")
    elif job.supply.isolator is None:
        sheet.remark("See whether an isolator stands between meter and board: without one another isolates the tails.")
    if job.charge_point.sends_power_back:
        sheet.remark("The car is a source too: unplug it first.")
    second = sources or job.charge_point.sends_power_back
    seals = job.supply.isolator is not True
    return ("safe_isolation", *(("two_supplies",) if second else ()), *(("supplier_seals",) if seals else ()))


def _and_what(sources: list[str]) -> str:
    return f"; the {' and the '.join(sources)} must be isolated for work at the board" if sources else ""


def _least_on_sheet(least: str, place: str) -> Working:
    sheet = Working()
    sheet.remark(f"Least allowed: {least}, {look_up_text('gb/ip_ik', 'note', place=place)}.")
    return sheet


def _digits(code: str) -> tuple[int | None, int | None] | None:
    found = _IP.search(code)
    if found is None:
        return None
    solid, water = (None if digit in "Xx" else int(digit) for digit in found.groups())
    return solid, water


def _level(code: str | None) -> int | None:
    found = _IK.search(code or "")
    return int(found.group(1)) if found else None
