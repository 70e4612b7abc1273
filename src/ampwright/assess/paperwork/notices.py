"""Boxes about the job as a whole: what was done, by which edition, what is owed by when, and the constants of forms."""

from __future__ import annotations

from ampwright.assess.book import BOOK
from ampwright.assess.paperwork.desk import Desk, Fill, Filled, from_paths, printed, under
from ampwright.assess.programme import programme
from ampwright.facts import constant
from ampwright.working import written_day

CONSTANTS = "gb/form_constants"
UNITS = {"frequency": "Hz", "insulation_test": "V d.c."}
NOTIFIED = ("network_notice", "building_notice")
SCHEDULES = "1 schedule of inspections, 1 of circuit details, 1 of test results"


def fixed(desk: Desk, name: str) -> Filled:
    """A constant of the forms."""
    value = f"{constant(CONSTANTS, name).value:g}"
    return Filled(f"mode {value}" if name == "charging_mode" else f"{value} {UNITS.get(name, '')}".strip())


def edition(desk: Desk, _: str) -> Filled:
    """The edition that the job is judged by."""
    return Filled(BOOK.edition_for(desk.job))


def extent(desk: Desk, _: str) -> Filled:
    """The work in a sentence: circuit, device, cable, earthing."""
    job = desk.job
    device, place, rated_a = job.circuit.device, job.charge_point.place, job.charge_point.rated_a
    laid = [each.cable for each in job.route]
    named = device.rating_a is not None and place and rated_a is not None and job.circuit.earthed_by is not None
    paths = ("charge_point.place", "charge_point.rated_a", "circuit.device.rating_a", "circuit.device.curve",
             *under(job, "route[].cable"), "circuit.earthed_by")  # fmt: skip
    if not named or not laid or any(each.size_mm2 is None or each.kind is None for each in laid):
        return Filled(None, paths)
    cables = " and ".join(dict.fromkeys(f"{each.size_mm2:g} mm² {printed(each.kind or '')}" for each in laid))
    earthed = "the supply's earth" if job.circuit.earthed_by == "supply" else "an electrode of its own"
    panels = " Solar panels or other generation put up as well." if job.generation.part_of_this_job else ""
    return Filled(f"Charge point of {rated_a:g} A, {place}, on a circuit of its own from a device of "
                  f"{device.curve or ''}{device.rating_a:g} A, in {cables}, on {earthed}.{panels}",
                  (*paths, "generation.part_of_this_job"))  # fmt: skip


def work(desk: Desk, _: str) -> Filled:
    """As stated; a circuit added to a board that is there is an addition."""
    stated = desk.job.work
    return Filled(stated or ("addition" if desk.job.installation.board else None))


def work_kind(desk: Desk, _: str) -> Filled:
    """A charge point has a circuit of its own, which is new whatever else the certificate calls the work."""
    return Filled("a new circuit in a dwelling" if desk.job.installation.board else None)


def next_inspection(desk: Desk, _: str) -> Filled:
    """The most that guidance gives; the inspector may set less."""
    return Filled(f"at most {constant(CONSTANTS, 'next_inspection').value:g} years, or at a change of occupier")


def pages(desk: Desk, _: str) -> Filled:
    """The certificate has one of each schedule."""
    return Filled(SCHEDULES)


def notices_due(desk: Desk, _: str) -> Filled:
    """The last day of the notice to the operator and to building control, by the clocks of the law."""
    found = [due for due in programme(desk.job, desk.today) if due.clock in NOTIFIED]
    if not found or any(due.state in ("find out", "not started") for due in found):
        return Filled(None)
    words = [f"{due.owed_to}: {f'by {written_day(due.by)}' if due.by else 'before fitting'}" for due in found]
    return Filled("; ".join(sorted(words)))


def operator_answer(desk: Desk, _: str) -> Filled:
    """What the operator wrote, or the day on which it agreed to what it was asked before."""
    agreed = desk.job.dates.operator_agreed
    if agreed is not None and desk.job.notices.network_answer is None:
        return Filled(f"agreed on {written_day(agreed)}", ("dates.operator_agreed",))
    return from_paths(desk, "notices.network_answer")


def documents_left(desk: Desk, _: str) -> Filled:
    """What the customer keeps."""
    job = desk.job
    left = ["electrical installation certificate with its schedules", "commissioning sheet with the settings",
            "maker's instructions and warranty", "how to isolate and whom to call", "building-regulation certificate",
            "network operator's reference", "invoice"]  # fmt: skip
    left += ["notice of the generation"] if job.generation.part_of_this_job else []
    left += ["grant papers"] if job.dates.grant_wanted or job.dates.grant_applied else []
    return Filled("; ".join(left))


NOTICES: dict[str, Fill] = {"constant": fixed, **{each.__name__: each for each in (
    edition, extent, work, work_kind, next_inspection, pages, notices_due, operator_answer, documents_left,
)}}  # fmt: skip
