"""Situations and jobs for the load cap's tests. All invented."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from intake import amps
from jobs import house

from ampwright.assess.load_cap.attack import Fuse
from ampwright.assess.load_cap.situation import Situation
from ampwright.job.record import Job, LoadCap, Sensor
from ampwright.physics.fuses import Gate
from ampwright.reading import measured

WEAKEST_100 = Fuse(125.0, Gate(290.0, 10.0))
LIMIT = "charge_point.load_cap"
FITTED = LoadCap(
    fitted=True, fails_safe=True, locked_from_customer=True, fallback_a=0, watchdog_s=10, response_s=5,
    message_every_s=1, meter_percent=0.5, display_step_a=1, dead_band_a=1,
)  # fmt: skip
GRID = Sensor(name="at the tails", watches="grid", link="wired", rated_a=100, split_core=True, class_percent=1,
              beside_car_cable_m=measured(0))  # fmt: skip


def situation(**changes: Any) -> Situation:
    """A 100 A supply, 95 A cap, a house of up to 80 A and a 32 A car; a reading a second."""
    base = Situation(
        cap_a=95, dead_band_a=1, rounding_a=0.5, pick_up_a=0, error_ratio=0.03, house_a=80, unseen_a=0, car_a=32,
        least_car_a=6, sensor_full_a=120, fallback_a=0, message_s=1, response_s=5, watchdog_s=10, lost_ratio=0.1,
    )  # fmt: skip
    return replace(base, **changes)


def capped(changes: dict[str, Any] | None = None, *loads_a: float) -> Job:
    """A house on a 100 A cut-out whose operator allows all of it, 60 A of loads counted whole, and a load cap."""
    base: dict[str, Any] = {
        "supply.cutout.sustained_a": 100.0,
        "generation.fitted": False,
        "installation.loads": amps(*(loads_a or (40.0, 20.0))),
        "installation.busbar_a": measured(125),
        "sensors": (GRID,),
        LIMIT: FITTED,
    }
    return house({**base, **(changes or {})})
