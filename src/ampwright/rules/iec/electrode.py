"""The installation's earth electrode: as measured, else reckoned from its rods and the soil."""

from __future__ import annotations

import math

from ampwright.facts import look_up
from ampwright.job.record import Job
from ampwright.physics.earthing import rod_ohm, rods_in_line_ohm
from ampwright.reading import End, Reading
from ampwright.rules.regulation import seen
from ampwright.working import Working

ROD_FIELDS = ("rods_count", "rod_length_m", "rod_diameter_mm", "soil_ohm_m")
_SLENDER = 10


def electrode_gaps(job: Job) -> tuple[str, ...]:
    """What must be found out before `electrode_ohm` can answer; nothing where it was measured."""
    electrode = job.electrode
    if electrode.measured_ohm is not None:
        return () if electrode.measured_ohm.low > 0 else ("electrode.measured_ohm",)
    wanted = ROD_FIELDS if electrode.rods_count == 1 else (*ROD_FIELDS, "spacing_m")
    gaps = tuple(f"electrode.{name}" for name in wanted if not _above_zero(getattr(electrode, name)))
    length, diameter_mm = electrode.rod_length_m, electrode.rod_diameter_mm
    if length is not None and diameter_mm is not None and length.low < _SLENDER * diameter_mm / 1000:
        gaps = (*gaps, "electrode.rod_length_m")
    stated = any(getattr(electrode, name) is not None for name in wanted)
    return gaps if stated or not gaps else ("electrode.measured_ohm", *gaps)


def electrode_ranges(job: Job) -> tuple[str, ...]:
    """The readings that make `electrode_ohm` a range."""
    used = ("measured_ohm",) if job.electrode.measured_ohm is not None else (*ROD_FIELDS, "spacing_m")
    values = {name: getattr(job.electrode, name) for name in used}
    return tuple(f"electrode.{name}" for name, value in values.items()
                 if isinstance(value, Reading) and not value.exact)  # fmt: skip


def electrode_ohm(job: Job, end: End, sheet: Working) -> float:
    """RA in ohm at one end of what the survey allows: as measured, else of driven rods in line (BS 7430).

    Ask `electrode_gaps` first. Raises ValueError for a rod too stout to reckon.
    """
    sheet.heading("The earth electrode")
    electrode = job.electrode
    if electrode.measured_ohm is not None:
        return sheet.given("RA", end.more_hurts(electrode.measured_ohm), electrode.measured_ohm.basis)
    single_ohm = _rod_ohm(job, end, sheet)
    if electrode.rods_count == 1:
        return sheet.step("RA = Rrod", single_ohm)
    return sheet.step("RA = Rn", _rods_ohm(job, end, single_ohm, sheet))


def _rod_ohm(job: Job, end: End, sheet: Working) -> float:
    electrode = job.electrode
    soil, length = seen(electrode.soil_ohm_m), seen(electrode.rod_length_m)
    soil_ohm_m = sheet.given("rho", end.more_hurts(soil), soil.basis)
    length_m = sheet.given("Lrod", end.less_hurts(length), length.basis)
    diameter_m = sheet.given("drod", seen(electrode.rod_diameter_mm) / 1000)
    return sheet.step(
        "Rrod = rho / (2 * pi * Lrod) * (ln(8 * Lrod / drod) - 1)",
        rod_ohm(soil_ohm_m=soil_ohm_m, length_m=length_m, diameter_m=diameter_m),
    )


def _rods_ohm(job: Job, end: End, single_ohm: float, sheet: Working) -> float:
    electrode = job.electrode
    rods, spacing, soil = seen(electrode.rods_count), seen(electrode.spacing_m), seen(electrode.soil_ohm_m)
    sheet.given("n", rods)
    spacing_m = sheet.given("srod", end.less_hurts(spacing), spacing.basis)
    soil_ohm_m = end.more_hurts(soil)
    lambda_ratio = sheet.fact("lam", look_up("iec/rod_group", "lambda_ratio", rods_count=rods))
    sheet.step("arod = rho / (2 * pi * Rrod * srod)", soil_ohm_m / (2 * math.pi * single_ohm * spacing_m))
    if spacing_m < seen(electrode.rod_length_m).high:
        sheet.remark("The rods stand closer than their length: the group factor is then too kind, so test.")
    together_ohm = rods_in_line_ohm(single_ohm=single_ohm, soil_ohm_m=soil_ohm_m, spacing_m=spacing_m,
                                    rods_count=rods, lambda_ratio=lambda_ratio)  # fmt: skip
    return sheet.step("Rn = Rrod * (1 + lam * arod) / n", together_ohm)


def _above_zero(value: object) -> bool:
    if isinstance(value, Reading):
        return value.low > 0
    return isinstance(value, int | float) and value > 0
