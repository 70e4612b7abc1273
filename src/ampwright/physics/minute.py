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
HOUR_MIN, NEVER_KW = 60, 1e300


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
    supply_kw, gain_h = supply_phases * line_kw, kept_ratio / H_MIN
    least_kw, one_kw = max(least_a * line_kw * (1 if switches else phases), fixed_kw), line_kw * phases
    for stay in range(len(start_min)):
        stored_kwh -= driven_kwh[stay]
        unmet_kwh[stay] = 0.0
        if stored_kwh < 0.0:
            unmet_kwh[stay] = -stored_kwh
            stored_kwh = 0.0
        begin, end = start_min[stay], end_min[stay]
        if way in (SURPLUS, READY):
            from_min, per_kwh_min = _in_time(way, end, ready_kwh[stay], (most_a * one_kw - fixed_kw) * gain_h)
            stored_kwh, starts, held = _waiting_stay(
                net_kw, may, begin, end, from_min, per_kwh_min, lag_min, car_kw, line_kw, phases, supply_kw, switches,
                cap_a, most_a, least_a, wait_min, linger_min, lag_kind, fill_kwh, stored_kwh, gain_h, fixed_kw,
                least_kw, starts, held,
            )  # fmt: skip
        else:
            full_a = _full_a(way, (fill_kwh - stored_kwh) / gain_h, end - begin, one_kw, fixed_kw, least_a, most_a)
            stored_kwh, starts, held = _asking_stay(
                net_kw, may, begin, end, lag_min, car_kw, way, full_a, line_kw, phases, supply_kw, switches, cap_a,
                most_a, least_a, wait_min, lag_kind, fill_kwh, stored_kwh, gain_h, fixed_kw, least_kw, starts, held,
            )  # fmt: skip
    return stored_kwh, starts, held


def _waiting_stay(
    net_kw: Sequence[float], may: Sequence[int], begin: int, end: int, from_min: float, per_kwh_min: float,
    lag_min: Sequence[int], car_kw: MutableSequence[float], line_kw: float, phases: int, supply_kw: float,
    switches: bool, cap_a: float, most_a: int, least_a: int, wait_min: int, linger_min: int, lag_kind: int,
    fill_kwh: float, stored_kwh: float, gain_h: float, fixed_kw: float, least_kw: float, starts: int, held: int,
) -> tuple[float, int, int]:  # fmt: skip
    """One stay of a way that waits for the sun: dark stretches are passed over until something may begin."""
    now_a, now_lines, short, rest = 0.0, phases, 0, begin
    late_at, minute = int(from_min + stored_kwh * per_kwh_min), begin
    while minute < end and stored_kwh < fill_kwh:
        enough, due = 0, -1
        minute = _first_bright(net_kw, minute, min(end, late_at), least_kw)
        for this in range(minute, end):
            minute, net, late = this + 1, net_kw[this], this >= late_at
            if stored_kwh >= fill_kwh or may[this] & MAY_CHARGE == 0:
                now_a = 0.0
                break
            lines = 1 if switches and not late and net < least_a * line_kw * phases else phases
            sun_a = _sun_a(net, line_kw * lines, least_kw, least_a, most_a)
            enough, short = (enough + 1, 0) if sun_a > 0.0 else (0, short + 1)
            want_a = _want_a(sun_a, now_a, enough > wait_min, short > linger_min, least_a, most_a, late)
            if lag_kind and (want_a != now_a or (want_a > 0.0 and lines != now_lines)):
                due = _due(due, this, now_a, lag_kind, lag_min)
                want_a, lines = (now_a, now_lines) if this < due else (want_a, lines)
            else:
                due = -1
            if want_a > 0.0 and net < (want_a - cap_a) * supply_kw:
                held, want_a = held + 1, _room_a(cap_a + net / supply_kw, least_a)
                rest = this + wait_min + 1 if want_a == 0.0 else rest
            if want_a == 0.0 or (now_a == 0.0 and this < rest):
                now_a = 0.0
                if net < least_kw and this + 1 < late_at:
                    break
                continue
            starts += 1 if now_a == 0.0 or lines != now_lines else 0
            car_kw[this], stored_kwh = _fed(want_a * line_kw * lines, stored_kwh, fill_kwh, gain_h, fixed_kw)
            now_a, now_lines, late_at = want_a, lines, int(from_min + stored_kwh * per_kwh_min)
    return stored_kwh, starts, held


def _asking_stay(
    net_kw: Sequence[float], may: Sequence[int], begin: int, end: int, lag_min: Sequence[int],
    car_kw: MutableSequence[float], way: int, full_a: float, line_kw: float, phases: int, supply_kw: float,
    switches: bool, cap_a: float, most_a: int, least_a: int, wait_min: int, lag_kind: int, fill_kwh: float,
    stored_kwh: float, gain_h: float, fixed_kw: float, least_kw: float, starts: int, held: int,
) -> tuple[float, int, int]:  # fmt: skip
    """One stay of a way that asks for current whatever the sun: all hours or the cheap ones, until it is full."""
    now_a, now_lines, due, rest = 0.0, phases, -1, begin
    hours = MAY_CHARGE | IS_NIGHT if way == NIGHT else MAY_CHARGE
    follows_from_kw, dark_lines = (least_kw, 1 if switches else phases) if way == FLOOR else (NEVER_KW, phases)
    for minute in range(begin, end):
        if may[minute] & hours != hours:
            now_a, due = 0.0, -1
            continue
        if stored_kwh >= fill_kwh:
            break
        net, want_a, lines = net_kw[minute], full_a, dark_lines
        if net >= follows_from_kw:
            lines = 1 if switches and net < least_a * line_kw * phases else phases
            want_a = max(_sun_a(net, line_kw * lines, least_kw, least_a, most_a), full_a)
        if lag_kind and (want_a != now_a or (want_a > 0.0 and lines != now_lines)):
            due = _due(due, minute, now_a, lag_kind, lag_min)
            want_a, lines = (now_a, now_lines) if minute < due else (want_a, lines)
        else:
            due = -1
        if want_a > 0.0 and net < (want_a - cap_a) * supply_kw:
            held, want_a = held + 1, _room_a(cap_a + net / supply_kw, least_a)
            rest = minute + wait_min + 1 if want_a == 0.0 else rest
        if want_a == 0.0 or (now_a == 0.0 and minute < rest):
            now_a = 0.0
            continue
        starts += 1 if now_a == 0.0 or lines != now_lines else 0
        car_kw[minute], stored_kwh = _fed(want_a * line_kw * lines, stored_kwh, fill_kwh, gain_h, fixed_kw)
        now_a, now_lines = want_a, lines
    return stored_kwh, starts, held


def _first_bright(net_kw: Sequence[float], minute: int, until: int, least_kw: float) -> int:
    """The first minute whose surplus is the least to charge with, `until` if there is none; a long dark by the hour."""
    while minute < until:
        near = min(minute + HOUR_MIN, until)
        for each in range(minute, near):
            if net_kw[each] >= least_kw:
                return each
        minute = near
        while minute + HOUR_MIN <= until and _bright_count(net_kw[minute : minute + HOUR_MIN], least_kw) == 0:
            minute += HOUR_MIN
    return minute


def _bright_count(hour_kw: Sequence[float], least_kw: float) -> int:
    """How many minutes have the least surplus; without a way out, so that a processor counts several at once."""
    count = 0
    for each in range(len(hour_kw)):
        count += hour_kw[each] >= least_kw
    return count


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
    sun_a: float, now_a: float, steady_sun: bool, sun_gone: bool, least_a: int, most_a: int, late: bool
) -> float:
    """The current that a way which waits for the sun wants in this minute."""
    if late:
        return float(most_a)
    if now_a > 0.0:
        return sun_a if sun_a > 0.0 else 0.0 if sun_gone else float(least_a)
    return sun_a if steady_sun else 0.0


def _full_a(
    way: int, need_kw_min: float, stay_min: int, one_kw: float, fixed_kw: float, least_a: int, most_a: int
) -> float:
    """What a way asks for without looking at the sun: all, the least, or the one current that is done in time."""
    if way != STEADY:
        return float(least_a if way == FLOOR else most_a)
    if stay_min <= 0 or need_kw_min <= 0.0:
        return float(least_a)
    return float(min(max(ceil((need_kw_min / stay_min + fixed_kw) / one_kw), least_a), most_a))


def _due(due: int, minute: int, now_a: float, lag_kind: int, lag_min: Sequence[int]) -> int:
    """When a change that is wanted may happen: a delay drawn at random from the minute in which it was first wanted."""
    if lag_kind == LAG_ON_START and now_a > 0.0:
        return -1
    return due if due >= minute else minute + lag_min[minute % len(lag_min)]


def _fed(
    kw: float, stored_kwh: float, fill_kwh: float, gain_h: float, fixed_kw: float
) -> tuple[float, float]:  # fmt: skip
    """The power of a minute, less in the last one, and what the battery then holds."""
    gained_kwh = (kw - fixed_kw) * gain_h
    if stored_kwh + gained_kwh >= fill_kwh:
        return (fill_kwh - stored_kwh) / gain_h + fixed_kw, fill_kwh
    return kw, stored_kwh + gained_kwh


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
