"""Maximum demand, line by line: the house after diversity, the car in full, and what a load cap holds it to.

The one place where demand is worked out; the rules on the cut-out, the tails, the board and the network
operator all read it from here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from ampwright.facts import look_up, look_up_text
from ampwright.job.paths import loose, unseen
from ampwright.job.record import Job, Load
from ampwright.physics import demand as physics
from ampwright.reading import End
from ampwright.rules.gb.parts.route import design_current_a, design_current_basis
from ampwright.rules.regulation import Finding, ask, seen
from ampwright.working import Verdict, Working

DEMAND = ("supply.phases", "installation.loads", "charge_point.rated_a", "charge_point.phases")
SURE = ("seen by the operator", "operator's record")
CUTOUT = ("supply.cutout.rating_a", "supply.cutout.rating_known_by")
LOADS = ("installation.loads[].current_a", "installation.loads[].power_w")
_LIMIT = "charge_point.load_cap"
_LIMIT_ANSWERS = (f"{_LIMIT}.limit_a", f"{_LIMIT}.fails_safe", f"{_LIMIT}.locked_from_customer")
_EACH = "cooking"
_LINES = ("L1", "L2", "L3")
_ROUNDING_A = 1e-9


@dataclass(frozen=True, slots=True)
class LineDemand:
    """One line: the house alone, with the car in full, and with a load cap counted where it may be."""

    line: str
    house_a: float
    plain_a: float
    held_a: float


def missing(job: Job) -> tuple[str, ...]:
    """Paths still wanted before demand can be worked out, beyond those in DEMAND."""
    gaps = [f"installation.loads[{number}].current_a" for number, load in enumerate(job.installation.loads or ())
            if load.current_a is None and load.power_w is None]  # fmt: skip
    charge_point = job.charge_point
    if job.supply.phases == 3 and charge_point.phases == 1 and charge_point.line == "all":
        gaps.append("charge_point.line")
    return (*gaps, *_battery_gaps(job))


def _battery_gaps(job: Job) -> tuple[str, ...]:
    if not job.storage.fitted:
        return unseen(job, ("storage.fitted",))
    if job.storage.charges_from_supply is False:
        return ()
    return unseen(job, ("storage.charges_from_supply",)) or unseen(job, ("storage.inverter_a",))


def limit_counted_a(job: Job) -> float | None:
    """The load cap, if it may be counted: set, failing safe, sealed, and no line left unwatched. Else None."""
    limit = job.charge_point.load_cap
    blind = unwatched(job) or watch_open(job)
    counts = limit.fitted and limit.fails_safe and limit.locked_from_customer and not blind
    return limit.limit_a if counts else None


def limit_open(job: Job) -> tuple[str, ...]:
    """Paths that still decide whether a load cap counts; none once it is settled either way."""
    limit = job.charge_point.load_cap
    if limit.fitted is None:
        return (f"{_LIMIT}.fitted",)
    if not limit.fitted or limit.fails_safe is False or limit.locked_from_customer is False or unwatched(job):
        return ()
    return (*unseen(job, _LIMIT_ANSWERS), *watch_open(job))


def unwatched(job: Job) -> tuple[str, ...]:
    """The lines of a three-phase supply that the car is on and no listed sensor watches at the grid."""
    if not job.sensors or job.supply.phases != 3 or job.charge_point.phases is None:
        return ()
    charge_point = job.charge_point
    takes = _LINES if charge_point.phases == 3 or charge_point.line == "all" else (charge_point.line,)
    return tuple(line for line in takes if line not in _watched(job))


def watch_open(job: Job) -> tuple[str, ...]:
    """What decides whether the listed sensors watch every line that the car is on."""
    if not job.sensors or job.supply.phases == 1 or set(_LINES) <= _watched(job):
        return ()
    return unseen(job, ("supply.phases", "charge_point.phases"))


def _watched(job: Job) -> set[str]:
    at_grid = [sensor.line for sensor in job.sensors if sensor.watches == "grid"]
    return set(_LINES) if "all" in at_grid else set(at_grid)


def within(current_a: float, limit_a: float) -> bool:
    """Not above the limit, but for the rounding of the arithmetic."""
    return current_a <= limit_a + _ROUNDING_A


def line_demands(job: Job, end: End, sheet: Working) -> tuple[LineDemand, ...]:
    """The demand of each line of the supply, at one end of what the survey allows. `missing` must be empty."""
    loads = seen(job.installation.loads)
    sheet.heading("The loads")
    loads_a = [load_a(job, load, number, end, sheet) for number, load in enumerate(loads, start=1)]
    if sum(load.purpose == _EACH for load in loads) > 1:
        sheet.remark("Cooking is counted for each appliance by itself: sources disagree, and this is the larger.")
    return tuple(_line_demand(job, line, loads_a, end, sheet) for line in lines(job))


def worst_of(demands: tuple[LineDemand, ...]) -> LineDemand:
    """The line with most to carry, the load cap counted."""
    return max(demands, key=lambda each: each.held_a)


def heaviest_house_a(demands: tuple[LineDemand, ...]) -> float:
    """What the house alone draws on its heaviest line: no load cap can bring the demand below it."""
    return max(each.house_a for each in demands)


def lines(job: Job) -> tuple[str, ...]:
    """The lines of the supply; a supply of one phase has one, whatever it is called elsewhere."""
    return _LINES if job.supply.phases == 3 else ("L1",)


def on_line(job: Job, line: str, of: str) -> bool:
    """Whether something connected to the line `of` ("L2", "all") draws from `line` of this supply."""
    return job.supply.phases != 3 or of in (line, "all")


def with_car(job: Job, line: str, house_a: float, sheet: Working) -> LineDemand:
    """Add the car at its full design current, then the load cap if it counts. `Ihouse` is on the sheet."""
    tag = _tag(job, line)
    charge_point = job.charge_point
    takes = charge_point.phases == 3 or on_line(job, line, charge_point.line)
    car_a = sheet.given(f"Icar{tag}", design_current_a(job) if takes else 0.0,
                        f"{design_current_basis(job)}, no diversity" if takes else "not on this line")  # fmt: skip
    plain_a = sheet.step(f"Inew{tag} = Ihouse{tag} + Icar{tag}", house_a + car_a)
    limit_a = limit_counted_a(job)
    if limit_a is None:
        return LineDemand(line, house_a, plain_a, plain_a)
    sheet.given("Ilim", limit_a, "the load cap's setting")
    held_a = max(house_a, min(plain_a, limit_a))
    sheet.step(f"Iheld{tag} = max(Ihouse{tag}, min(Inew{tag}, Ilim))", held_a)
    return LineDemand(line, house_a, plain_a, held_a)


def where(job: Job, line: str) -> str:
    """" on L2" on three phases, nothing on one."""
    return f" on {line}" if job.supply.phases == 3 else ""


def as_known(job: Job, finding: Finding, *, smaller_hurts: bool, also: tuple[str, ...] = ()) -> Finding:
    """The finding, as far as the cut-out's rating is really known, with the open readings named.

    A carrier may hold a smaller fuse than its mark says, and a guess may be wrong either way: an answer that
    leans on one is not yet known. `also` are further readings that the finding leans on.
    """
    if finding.verdict is Verdict.NOT_YET_KNOWN:
        return replace(finding, needs=finding.needs or loose(job, ("supply.cutout.rating_a", *LOADS, *also)))
    known_by = job.supply.cutout.rating_known_by
    leaning = Verdict.MET if smaller_hurts else Verdict.NOT_MET
    doubtful = known_by == "guessed from its look" or (known_by == "mark on the carrier" and finding.verdict is leaning)
    if not doubtful or finding.verdict not in (Verdict.MET, Verdict.NOT_MET):
        return finding
    says = f"{finding.says} But the cut-out's rating is not sure ({known_by}): the fuse inside may differ."
    return replace(finding, verdict=Verdict.NOT_YET_KNOWN, says=says, needs=("supply.cutout.rating_known_by",))


def ask_for_the_limit(job: Job, finding: Finding) -> Finding:
    """The same answer made not yet known, for want of what decides whether the load cap counts."""
    says = f"{finding.says} A load cap may be counted, if there is one that fails safe and is sealed."
    return replace(ask(*limit_open(job), says=says), working=finding.working, cautions=finding.cautions)


def largest_load_a(job: Job, end: End, sheet: Working) -> float:
    """The largest single load of the house, with no diversity. `missing` must be empty."""
    loads = seen(job.installation.loads)
    loads_a = [load_a(job, load, number, end, sheet) for number, load in enumerate(loads, start=1)]
    names = ", ".join(f"Iload_{number}" for number in range(1, len(loads_a) + 1))
    return sheet.step(f"Ibig = max({names}, 0)", max(*loads_a, 0.0))


def _tag(job: Job, line: str) -> str:
    return f"_{line[1]}" if job.supply.phases == 3 else ""


def load_a(job: Job, load: Load, number: int, end: End, sheet: Working) -> float:
    """Current of one load, A, by its place in the list from 1."""
    if load.current_a is not None:
        return sheet.given(f"Iload_{number}", end.more_hurts(load.current_a), f"{load.called}: {load.current_a.basis}")
    power = seen(load.power_w)
    u0_v = sheet.given("U0", job.supply.declared_v, "declared by the supplier")
    power_w = sheet.given(f"Pload_{number}", end.more_hurts(power), f"{load.called}: {power.basis}")
    if job.supply.phases == 3 and load.line == "all":
        current_a = physics.three_phase_a(power_w=power_w, line_voltage_v=3**0.5 * u0_v)
        return sheet.step(f"Iload_{number} = Pload_{number} / (3 * U0)", current_a)
    return sheet.step(f"Iload_{number} = Pload_{number} / U0", physics.single_phase_a(power_w=power_w, voltage_v=u0_v))


def _line_demand(job: Job, line: str, loads_a: list[float], end: End, sheet: Working) -> LineDemand:
    sheet.heading(f"The demand{where(job, line)}")
    tag = _tag(job, line)
    groups = _groups(job, line)
    counted_a = [_counted_a(job, numbers, place, loads_a, sheet) for place, numbers in enumerate(groups, start=1)]
    terms = [f"Idiv_{place}" for place in range(1, len(groups) + 1)]
    if charges_on(job, line):
        counted_a.append(sheet.given("Ibat", battery_a(job, line, end), "the battery charging, no diversity"))
        terms.append("Ibat")
    if not counted_a:
        return with_car(job, line, sheet.given(f"Ihouse{tag}", 0.0, "no load on this line"), sheet)
    return with_car(job, line, sheet.step(f"Ihouse{tag} = {' + '.join(terms)}", sum(counted_a)), sheet)


def charges_on(job: Job, line: str) -> bool:
    """Whether a battery that may charge from the supply is on this line."""
    storage = job.storage
    return bool(storage.fitted and storage.charges_from_supply and on_line(job, line, storage.line))


def battery_a(job: Job, line: str, end: End) -> float:
    """What the battery may draw from the supply on this line, A: all that its inverter is rated for."""
    return end.more_hurts(seen(job.storage.inverter_a)) if charges_on(job, line) else 0.0


def _groups(job: Job, line: str) -> list[list[int]]:
    """The numbers of the loads on a line, one list for each purpose, but each cooking appliance by itself."""
    groups: dict[str, list[int]] = {}
    for number, load in enumerate(seen(job.installation.loads), start=1):
        if on_line(job, line, load.line):
            key = f"{_EACH} {number}" if load.purpose == _EACH else load.purpose
            groups.setdefault(key, []).append(number)
    return list(groups.values())


def _counted_a(job: Job, numbers: list[int], place: int, all_a: list[float], sheet: Working) -> float:
    """One purpose after diversity, by the rule that its row of the table names."""
    first = seen(job.installation.loads)[numbers[0] - 1]
    sheet.remark(first.purpose.replace("_", " ").capitalize())
    ranked = sorted(numbers, key=lambda number: -all_a[number - 1])
    rule = look_up_text("gb/diversity", "rule", purpose=first.purpose)
    rest_ratio = sheet.fact("krest", look_up("gb/diversity", "rest_ratio", purpose=first.purpose))
    loads_a = [all_a[number - 1] for number in ranked]
    if rule == "first_then_rest":
        return _first_then_rest_a(first, place, ranked, loads_a, rest_ratio, sheet)
    count, judge = _WHOLE[rule]
    whole, over = [f"Iload_{number}" for number in ranked[:count]], [f"Iload_{number}" for number in ranked[count:]]
    terms = [*whole, *([f"krest * ({' + '.join(over)})"] if over else [])]
    return sheet.step(f"Idiv_{place} = {' + '.join(terms)}", judge(loads_a, rest_ratio))


def _first_then_rest_a(first: Load, place: int, numbers: list[int], loads_a: list[float], rest_ratio: float,
                       sheet: Working) -> float:  # fmt: skip
    full_a = sheet.fact("Ifull", look_up("gb/diversity", "full_a", purpose=first.purpose))
    adds = first.purpose == _EACH and first.socket
    socket_a = sheet.fact("Isock", look_up("gb/diversity", "socket_a", purpose=first.purpose)) if adds else 0.0
    total = " + ".join(f"Iload_{number}" for number in numbers)
    return sheet.step(
        f"Idiv_{place} = min({total}, Ifull) + krest * max({total} - Ifull, 0){' + Isock' if adds else ''}",
        physics.first_then_rest_a(loads_a=loads_a, full_a=full_a, rest_ratio=rest_ratio, socket_a=socket_a),
    )


_WHOLE: dict[str, tuple[int, Callable[[list[float], float], float]]] = {
    "all": (0, lambda each, rest: rest * physics.all_a(loads_a=each)),
    "largest_then_rest": (1, lambda each, rest: physics.largest_then_rest_a(loads_a=each, rest_ratio=rest)),
    "two_largest_then_rest": (2, lambda each, rest: physics.two_largest_then_rest_a(loads_a=each, rest_ratio=rest)),
}
