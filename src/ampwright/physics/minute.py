"""The year by minute: what a charge point and a store do, minute after minute, by rules that see no future.

One source for both uses: plain Python on lists for one job, and compiled for sweeps; bit for bit the same, so
nothing here may depend on which it is. Powers are means over the minute in kW, energies in kWh, minutes count from
the start of the year. `net_kw` is generation less house load: the house is served first, the car has what is left.
"""

from __future__ import annotations

from collections.abc import MutableSequence, Sequence
from math import ceil

SURPLUS, FLOOR, READY, STEADY, NIGHT, AT_ONCE = range(6)
MAY_CHARGE, IS_NIGHT = 1, 2
NO_LAG, LAG_ON_START, LAG_ON_CHANGE = range(3)
H_MIN = 60.0


def charge_year(
    *, net_kw: Sequence[float], may: Sequence[int], start_min: Sequence[int], end_min: Sequence[int],
    driven_kwh: Sequence[float], ready_kwh: Sequence[float], lag_min: Sequence[int], car_kw: MutableSequence[float],
    unmet_kwh: MutableSequence[float], way: int, line_kw: float, phases: int, supply_phases: int, switches: bool,
    cap_a: float, most_a: int, least_a: int, wait_min: int, linger_min: int, lag_kind: int, fill_kwh: float,
    begin_kwh: float, kept_ratio: float, fixed_kw: float,
) -> tuple[float, int, int]:  # fmt: skip
    """Charge through every stay; writes `car_kw` (kW at the charge point) and `unmet_kwh`, one for each stay.

    A stay is plugged in from `start_min` up to `end_min`; `driven_kwh` is what was driven since the stay before, and
    what the battery could not give is unmet. `may` holds MAY_CHARGE and IS_NIGHT by minute; `line_kw` is one ampere
    on one line. The battery gains `kept_ratio` of the power above `fixed_kw`, up to `fill_kwh`. `least_a` 0 stands
    for an ideal charge point: any power, at once. Returns the battery at the end in kWh, the starts and the minutes
    in which the load cap `cap_a` (amperes a line, of the supply) held the current down.
    """
    stored_kwh, starts, held = begin_kwh, 0, 0
    supply_kw = supply_phases * line_kw
    least_kw = max(least_a * line_kw * (1 if switches else phases), fixed_kw)
    for stay in range(len(start_min)):
        stored_kwh -= driven_kwh[stay]
        unmet_kwh[stay] = 0.0
        if stored_kwh < 0.0:
            unmet_kwh[stay] = -stored_kwh
            stored_kwh = 0.0
        stored_kwh, starts, held = _stay(
            net_kw, may, start_min[stay], end_min[stay], ready_kwh[stay], lag_min, car_kw, way, line_kw, phases,
            supply_kw, switches, cap_a, most_a, least_a, wait_min, linger_min, lag_kind, fill_kwh, stored_kwh,
            kept_ratio, fixed_kw, least_kw, starts, held,
        )  # fmt: skip
    return stored_kwh, starts, held


def _stay(
    net_kw: Sequence[float], may: Sequence[int], begin: int, end: int, ready_kwh: float, lag_min: Sequence[int],
    car_kw: MutableSequence[float], way: int, line_kw: float, phases: int, supply_kw: float, switches: bool,
    cap_a: float, most_a: int, least_a: int, wait_min: int, linger_min: int, lag_kind: int, fill_kwh: float,
    stored_kwh: float, kept_ratio: float, fixed_kw: float, least_kw: float, starts: int,
    held: int,
) -> tuple[float, int, int]:  # fmt: skip
    """One stay. The current that the way asks for waits for its delay, then bows to the load cap."""
    now_a, now_lines, enough, short, due, rest = 0.0, phases, 0, 0, -1, begin
    from_min, per_kwh_min = _in_time(way, end, ready_kwh, (most_a * line_kw * phases - fixed_kw) * kept_ratio / H_MIN)
    steady_a = _steady_a(fill_kwh - stored_kwh, end - begin, line_kw * phases, kept_ratio, fixed_kw, least_a, most_a)
    late_at = int(from_min + stored_kwh * per_kwh_min)
    mask = MAY_CHARGE | IS_NIGHT if way == NIGHT else MAY_CHARGE
    for minute in range(begin, end):
        net = net_kw[minute]
        if (net < least_kw and now_a == 0.0 and minute < late_at) or may[minute] & mask != mask:
            now_a, enough, due = 0.0, 0, -1
            continue
        late = way == READY and minute >= late_at
        if stored_kwh >= fill_kwh:
            break
        lines = 1 if switches and way <= READY and not late and net < least_a * line_kw * phases else phases
        sun_a = _sun_a(net, line_kw * lines, least_kw, least_a, most_a) if way <= READY else 0.0
        enough, short = (enough + 1, 0) if sun_a > 0.0 else (0, short + 1)
        want_a = _want_a(way, sun_a, now_a, enough > wait_min, short > linger_min, least_a, most_a, steady_a, late)
        if lag_kind:
            due = _due(due, minute, want_a, lines, now_a, now_lines, lag_kind, lag_min)
            want_a, lines = (now_a, now_lines) if minute < due else (want_a, lines)
        if want_a > 0.0 and net < (want_a - cap_a) * supply_kw:
            held, want_a = held + 1, _room_a(cap_a + net / supply_kw, least_a)
            rest = minute + wait_min + 1 if want_a == 0.0 else rest
        if want_a == 0.0 or (now_a == 0.0 and minute < rest):
            now_a = 0.0
            continue
        starts += 1 if now_a == 0.0 or lines != now_lines else 0
        stored_kwh = _fed(car_kw, minute, want_a * line_kw * lines, stored_kwh, fill_kwh, kept_ratio, fixed_kw)
        now_a, now_lines, late_at = want_a, lines, int(from_min + stored_kwh * per_kwh_min)
    return stored_kwh, starts, held


def _in_time(way: int, end: int, ready_kwh: float, gain_kwh: float) -> tuple[float, float]:
    """The minute before which only the sun can start the charging, with an empty battery, and how much later that is
    for each kWh it holds: the stay's end, or the last that is in time.
    """
    if way == READY:
        return end - ready_kwh / gain_kwh, 1.0 / gain_kwh
    return float(end) if way == SURPLUS else 0.0, 0.0


def _sun_a(net_kw: float, one_kw: float, least_kw: float, least_a: int, most_a: int) -> float:
    """The whole amperes that the surplus feeds, 0 below the least; without a least, just what it feeds."""
    if net_kw < least_kw:
        return 0.0
    if least_a == 0:
        return min(net_kw / one_kw, float(most_a))
    sun_a = int(net_kw / one_kw)
    return float(min(sun_a, most_a)) if sun_a >= least_a else 0.0


def _room_a(room_a: float, least_a: int) -> float:
    """The whole amperes that the load cap leaves; 0 where that is less than a car charges at."""
    return float(int(room_a)) if room_a >= max(least_a, 1) else 0.0


def _want_a(
    way: int, sun_a: float, now_a: float, steady_sun: bool, sun_gone: bool, least_a: int, most_a: int,
    steady_a: float, late: bool,
) -> float:  # fmt: skip
    """The current that the way asks for in this minute."""
    if way in (AT_ONCE, NIGHT) or late:
        return float(most_a)
    if way == STEADY:
        return steady_a
    if way == FLOOR:
        return max(sun_a, float(least_a))
    if now_a > 0.0:
        return sun_a if sun_a > 0.0 else 0.0 if sun_gone else float(least_a)
    return sun_a if steady_sun else 0.0


def _steady_a(
    need_kwh: float, stay_min: int, one_kw: float, kept_ratio: float, fixed_kw: float, least_a: int, most_a: int
) -> float:
    """The one whole current that just fills the battery by the end of the stay."""
    if stay_min <= 0 or need_kwh <= 0.0:
        return float(least_a)
    kw = need_kwh * H_MIN / stay_min / kept_ratio + fixed_kw
    return float(min(max(ceil(kw / one_kw), least_a), most_a))


def _due(
    due: int, minute: int, want_a: float, lines: int, now_a: float, now_lines: int, lag_kind: int,
    lag_min: Sequence[int],
) -> int:  # fmt: skip
    """When a change that is wanted may happen: a delay drawn at random from the minute in which it was first wanted."""
    changed = want_a != now_a or (want_a > 0.0 and lines != now_lines)
    if not changed or (lag_kind == LAG_ON_START and now_a > 0.0):
        return -1
    return due if due >= minute else minute + lag_min[minute % len(lag_min)]


def _fed(
    car_kw: MutableSequence[float], minute: int, kw: float, stored_kwh: float, fill_kwh: float, kept_ratio: float,
    fixed_kw: float,
) -> float:  # fmt: skip
    """Write the power of a minute, less in the last one, and return what the battery then holds."""
    gained_kwh = (kw - fixed_kw) * kept_ratio / H_MIN
    missing_kwh = fill_kwh - stored_kwh
    if gained_kwh >= missing_kwh:
        car_kw[minute] = missing_kwh * H_MIN / kept_ratio + fixed_kw
        return fill_kwh
    car_kw[minute] = kw
    return stored_kwh + gained_kwh


def store_year(
    *, net_kw: Sequence[float], car_kw: Sequence[float], sun_kw: Sequence[float], store_kw: MutableSequence[float],
    capacity_kwh: float, most_kw: float, into_ratio: float, out_ratio: float, shared_kw: float, feeds_car: bool,
    begin_kwh: float,
) -> float:  # fmt: skip
    """Run a store through the year; writes `store_kw`, above 0 where it charges, below 0 where it gives.

    It takes what the house and then the car leave of the sun, never the grid. It gives to the house first and then,
    if it `feeds_car`, to the car. `shared_kw` is the rating of an inverter that the store shares with the panels.
    Returns what it holds at the end in kWh.
    """
    held_kwh = begin_kwh
    for minute in range(len(net_kw)):
        spare_kw = net_kw[minute] - car_kw[minute]
        flow_kw = 0.0
        if spare_kw > 0.0:
            if held_kwh < capacity_kwh:
                flow_kw = min(spare_kw, most_kw)
                held_kwh += flow_kw * into_ratio / H_MIN
                if held_kwh > capacity_kwh:
                    flow_kw -= (held_kwh - capacity_kwh) * H_MIN / into_ratio
                    held_kwh = capacity_kwh
        elif held_kwh > 0.0:
            lacking_kw = -spare_kw if feeds_car else -net_kw[minute]
            give_kw = min(lacking_kw, most_kw, shared_kw - sun_kw[minute])
            if give_kw > 0.0:
                held_kwh -= give_kw / out_ratio / H_MIN
                if held_kwh < 0.0:
                    give_kw += held_kwh * H_MIN * out_ratio
                    held_kwh = 0.0
                flow_kw = -give_kw
        store_kw[minute] = flow_kw
    return held_kwh
