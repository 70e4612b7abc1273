"""An invented year of half-hourly meter readings, the same bytes every time."""

from __future__ import annotations

import datetime
import math
import random

START = datetime.datetime(2025, 11, 1, tzinfo=datetime.UTC)
DAYS_COUNT = 365


def meter_csv() -> str:
    """Start of each half hour (UTC) and kWh imported, for a house with a heat pump."""
    chance = random.Random(2025)
    lines = ["start,kwh"]
    for half_hour in range(DAYS_COUNT * 48):
        start = START + datetime.timedelta(minutes=30 * half_hour)
        lines.append(f"{start:%Y-%m-%dT%H:%MZ},{_kwh(start, chance):.3f}")
    return "\n".join(lines) + "\n"


def _kwh(start: datetime.datetime, chance: random.Random) -> float:
    hour = start.hour + start.minute / 60
    coldness = 0.5 + 0.5 * math.cos(2 * math.pi * (start.timetuple().tm_yday - 20) / 365)
    base = 0.12 + 0.03 * chance.random()
    heat_pump = coldness * (0.25 + 0.9 * chance.random() * (5 <= hour <= 22))
    cooking = 1.6 * chance.random() if 17 <= hour < 19 else 0.0
    breakfast = 0.5 * chance.random() if 7 <= hour < 8.5 else 0.0
    washing = 0.8 if 9 <= hour < 11 and chance.random() < 0.25 else 0.0
    return base + heat_pump + cooking + breakfast + washing
