"""An invented house seen from the street: the fields that the demand rules read, and no more."""

from typing import Any

from ampwright.job.choices import Line, Purpose
from ampwright.job.paths import replaced
from ampwright.job.record import (
    ChargePoint,
    Cutout,
    Generation,
    Installation,
    Job,
    Load,
    LoadCap,
    Storage,
    Supply,
    Tails,
)
from ampwright.reading import measured
from ampwright.rules.regulation import Finding

LOADS = (
    Load(name="shower", purpose="instantaneous_water_heating", current_a=measured(40)),
    Load(name="cooker", purpose="cooking", current_a=measured(30)),
)


def amps(*currents_a: float, purpose: Purpose = "thermostatic_water_heating", line: Line = "L1") -> tuple[Load, ...]:
    """Loads that are counted whole, so that a test can set the house's demand to the ampere."""
    return tuple(Load(name=f"load {each:g}", purpose=purpose, current_a=measured(each), line=line)
                 for each in currents_a)  # fmt: skip


def intake(changes: dict[str, Any] | None = None, **top: Any) -> Job:
    """A single-phase house: 40 A shower and 30 A cooker (56 A after diversity), a 32 A car, a 100 A cut-out.

    `changes` are record paths and their values, so `{"supply.cutout.rating_a": measured(80)}`.
    """
    job = Job(
        supply=Supply(
            phases=1, looped=False, upgrade_known_needed=False,
            cutout=Cutout(kind="bs88_3", rating_a=measured(100), rating_known_by="operator's record", sound=True),
            tails=Tails(size_mm2=measured(25), length_m=measured(1), method="C"),
        ),
        installation=Installation(loads=LOADS, main_switch_a=measured(100), busbar_a=measured(125)),
        generation=Generation(fitted=False),
        storage=Storage(fitted=False),
        charge_point=ChargePoint(rated_a=32, phases=1, meets_standards=True, sends_power_back=False,
                                 load_cap=LoadCap(fitted=False)),
        **top,
    )  # fmt: skip
    for path, value in (changes or {}).items():
        job = replaced(job, path, value)
    return job


def limiter(limit_a: float | None = 60.0, fails_safe: bool | None = True,
            locked: bool | None = True) -> dict[str, LoadCap]:  # fmt: skip
    """Changes that fit a load cap."""
    return {"charge_point.load_cap": LoadCap(fitted=True, limit_a=limit_a, fails_safe=fails_safe,
                                                 locked_from_customer=locked)}  # fmt: skip


def printed(finding: Finding, symbol: str) -> float:
    """The last value that the sheet gives for a symbol."""
    return [step.value for step in finding.working if step.symbol == symbol and step.value is not None][-1]
