"""BS 7671 section 514: the labels that a job leaves behind, as a list, each to be fixed and photographed."""

from __future__ import annotations

from ampwright.facts import look_up_text
from ampwright.job.paths import unseen
from ampwright.job.record import Job, Rcd
from ampwright.rules.gb.parts.loop import EARTHED, on_electrode
from ampwright.rules.regulation import Finding, ask, regulation, settled
from ampwright.working import Working, capital

_ALWAYS = ("main_switch", "circuit_chart", "circuit_name", "next_inspection")
_LIMIT = "charge_point.load_cap"


@regulation(
    asks="Which labels does this job need?",
    needs=("generation.fitted", "storage.fitted", "electrode.fitted", f"{_LIMIT}.fitted"),
)
def labels_to_fix(job: Job) -> Finding:
    """A list, complete as far as the job is known; met means that nothing more is to be found out for it."""
    gaps = _gaps(job)
    if gaps:
        return ask(*gaps)
    sheet = Working()
    names = label_names(job)
    places = list(dict.fromkeys(look_up_text("gb/labels", "place", id=name) for name in names))
    for place in places:
        sheet.heading(capital(place))
        for name in names:
            if look_up_text("gb/labels", "place", id=name) == place:
                sheet.remark(wording(job, name))
    words = [f"{sum(look_up_text('gb/labels', 'place', id=name) == place for name in names)} {place}"
             for place in places]  # fmt: skip
    return settled(True, f"{len(names)} labels: {', '.join(words)}. Photograph each when it is fixed.", sheet)


def labels_wanted(job: Job) -> tuple[tuple[str, str], ...]:
    """Place and wording of each label, as far as the job is known; `labels_to_fix` asks for the rest."""
    return tuple((look_up_text("gb/labels", "place", id=name), wording(job, name)) for name in label_names(job))


def _gaps(job: Job) -> tuple[str, ...]:
    if on_electrode(job) is None:
        return unseen(job, EARTHED)
    gaps = unseen(job, (f"{_LIMIT}.limit_a",)) if job.charge_point.load_cap.fitted else ()
    if not on_electrode(job):
        gaps += unseen(job, ("charge_point.open_pen",))
    elif job.circuit.earthed_by is None:
        gaps += ("circuit.earthed_by",)
    if not any(rcd.fitted for rcd in _rcds(job)):
        gaps += unseen(job, ("circuit.rcd.fitted", "charge_point.rcd.fitted", "installation.upstream_rcd.fitted"))
    if job.charge_point.sends_power_back is None and not (job.generation.fitted or job.storage.fitted):
        gaps += ("charge_point.sends_power_back",)
    return gaps


def label_names(job: Job) -> tuple[str, ...]:
    """The ids of the labels wanted, in the order of the table."""
    second = job.generation.fitted or job.storage.fitted or job.charge_point.sends_power_back
    watched = not on_electrode(job) and job.charge_point.open_pen != "none"
    wanted = {
        **dict.fromkeys(_ALWAYS, True),
        "rcd_test": any(rcd.fitted for rcd in _rcds(job)),
        "earth_terminal": True,
        "earth_electrode": bool(job.electrode.fitted) or job.circuit.earthed_by == "own electrode",
        "two_supplies_board": bool(second),
        "two_supplies_origin": bool(second),
        "isolation_place": True,
        "load_cap_board": bool(job.charge_point.load_cap.fitted),
        "load_cap_origin": bool(job.charge_point.load_cap.fitted),
        "open_pen": watched,
        "own_earth": job.circuit.earthed_by == "own electrode",
    }
    return tuple(name for name, yes in wanted.items() if yes)


def _rcds(job: Job) -> tuple[Rcd, ...]:
    return job.circuit.rcd, job.charge_point.rcd, job.installation.upstream_rcd


def wording(job: Job, name: str) -> str:
    """What the label of this id says, with the figures of the job."""
    limit_a = job.charge_point.load_cap.limit_a
    words = look_up_text("gb/labels", "wording", id=name)
    return words.format(limit="" if limit_a is None else f"{limit_a:g}", device=job.charge_point.open_pen)
