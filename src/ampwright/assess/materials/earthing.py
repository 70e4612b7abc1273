"""Rods, couplings, clamps and pits for an earth electrode that is to be driven, and the labels that a job leaves."""

from __future__ import annotations

from ampwright.assess.materials.allowances import allowances
from ampwright.assess.materials.gathering import Gathering, scaled, whole
from ampwright.assess.materials.items import codes, exactly
from ampwright.job.record import Job
from ampwright.reading import Reading
from ampwright.rules.gb.labels import labels_to_fix, labels_wanted

OWN, MEASURING = "own electrode", "measuring electrode"


def drives_a_rod(job: Job) -> bool:
    """Whether a rod is to be driven: the charge point's own, not measured yet, or one to measure by."""
    own = job.circuit.earthed_by == OWN and job.electrode.measured_ohm is None
    return own or job.charge_point.open_pen == MEASURING


def take_earthing(job: Job, to: Gathering) -> None:
    """Each rod in pieces with its couplings, a clamp and a pit; and the conductor to the first."""
    if job.charge_point.open_pen == MEASURING:
        to.item("1.2 m earth rod", "1.2 m earth rod", exactly(1), "the measuring electrode; read its maker's sheet",
                "charge_point.open_pen")  # fmt: skip
        _clamps(exactly(1), "the measuring electrode", "charge_point.open_pen", to)
    electrode = job.electrode
    if job.circuit.earthed_by != OWN:
        return
    if electrode.measured_ohm is not None:
        to.remark("The electrode has been measured, so it is there: no rod is on the list.")
        return
    gaps = {"electrode.rods_count": electrode.rods_count, "electrode.rod_length_m": electrode.rod_length_m,
            "electrode.conductor_mm2": electrode.conductor_mm2,
            "electrode.conductor_m": electrode.conductor_m}  # fmt: skip
    to.unknown(*(path for path, value in gaps.items() if value is None))
    if electrode.rods_count is not None and electrode.rod_length_m is not None:
        _rods(electrode.rods_count, electrode.rod_length_m, to)
    if electrode.conductor_mm2 is not None and electrode.conductor_m is not None:
        code = f"{electrode.conductor_mm2:g} mm2 green and yellow cable"
        if code in codes():
            to.item(code, code, electrode.conductor_m, "to the electrode", "electrode.conductor_m")
        else:
            to.remark(f"No code is held for {code}: order it by hand.")


def _rods(rods_count: int, rod_length_m: Reading, to: Gathering) -> None:
    pieces = whole(scaled(rod_length_m, 1 / allowances()["rod_piece"]))
    to.item("1.2 m earth rod", "1.2 m earth rod", scaled(pieces, rods_count),
            f"{rods_count} rod{'s' if rods_count > 1 else ''}, in pieces", "electrode.rods_count",
            "electrode.rod_length_m")  # fmt: skip
    couplings = Reading((pieces.low - 1) * rods_count, (pieces.high - 1) * rods_count, pieces.because)
    if couplings.high > 0:
        to.item("earth rod coupling", "earth rod coupling", couplings, "between the pieces", "electrode.rod_length_m")
    _clamps(exactly(rods_count), "each rod", "electrode.rods_count", to)


def _clamps(count: Reading, why: str, path: str, to: Gathering) -> None:
    to.item("earth rod clamp", "earth rod clamp", count, why, path)
    to.item("earth rod pit", "earth rod pit", count, why, path)


def take_labels(job: Job, to: Gathering) -> None:
    """Each label by its wording and place, as far as it is known which are wanted."""
    to.unknown(*labels_to_fix(job).needs)
    for place, wording in labels_wanted(job):
        to.item("label", f"label: {wording}", exactly(1), place)
