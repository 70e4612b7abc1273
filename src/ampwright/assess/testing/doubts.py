"""A reading that is lawful but not what was computed: what could have made it, the likeliest first.

Each cause says what the instrument would have read. A cause whose span holds the reading stands above those that do
not, and of those that hold it the one with the narrowest span comes first: it had the least room to be right by chance.
With no cause thought likelier than another beforehand that is the order of their likelihoods.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from ampwright.assess.testing.expected import Expected, conductors, practice, route_gaps
from ampwright.facts import NoRow, rows
from ampwright.job.record import Job
from ampwright.reading import BEST, WORST, Reading
from ampwright.rules.gb.parts.loop import tested_route_ohm
from ampwright.rules.gb.parts.route import cpc_size_mm2, line_ohm
from ampwright.rules.regulation import seen
from ampwright.working import Working


@dataclass(frozen=True, slots=True)
class Cause:
    """One thing that could have made the reading, its proof, and what it would read where that can be computed."""

    name: str
    prove: str
    low: float | None = None
    high: float | None = None

    def fits(self, reading: Reading) -> bool:
        """Whether the reading lies within what this cause would read; a cause without a span can be anything."""
        return self.low is None or self.high is None or (self.low <= reading.high and reading.low <= self.high)

    @property
    def width(self) -> float:
        """How much room the cause has."""
        return float("inf") if self.low is None or self.high is None else self.high - self.low


@dataclass(frozen=True, slots=True)
class Doubt:
    """A reading far from what was computed, with the causes that fit, likeliest first, and those that do not."""

    says: str
    causes: tuple[Cause, ...]
    ruled_out: tuple[Cause, ...]


def allowed(low_ohm: float, high_ohm: float) -> tuple[float, float]:
    """The span of an expected resistance in ohm, widened by what instrument and length may be out."""
    share, least_ohm = practice("instrument_share"), practice("instrument_least")
    return max(0.0, low_ohm - max(share * low_ohm, least_ohm)), high_ohm + max(share * high_ohm, least_ohm)


def doubted(reading: Reading, expected: Expected, causes: list[Cause]) -> Doubt | None:
    """The doubt about a reading outside what is expected; None where it lies within."""
    low_ohm, high_ohm = allowed(seen(expected.low), seen(expected.high))
    if low_ohm <= reading.high and reading.low <= high_ohm:
        return None
    side = "higher" if reading.low > high_ohm else "lower"
    says = f"{side} than computed: {seen(expected.low):.2f} to {seen(expected.high):.2f} Ω {expected.basis}"
    fitting = sorted((each for each in causes if each.fits(reading)), key=lambda each: each.width)
    return Doubt(says, tuple(fitting), tuple(each for each in causes if not each.fits(reading)))


def of_route(job: Job, reading: Reading, expected: Expected) -> Doubt | None:
    """What an odd R1 + R2 may come from. `expected` must be known."""
    low_ohm, high_ohm = seen(expected.low), seen(expected.high)
    return doubted(reading, expected, [*_leads(job, low_ohm, high_ohm), _joint(low_ohm, high_ohm),
                                       *_parallel(job, low_ohm), *_other_sizes(job),
                                       *_length(job, reading, expected)])  # fmt: skip


def of_loop(job: Job, reading: Reading, expected: Expected) -> Doubt | None:
    """What an odd Zs, measured live, may come from. `expected` must be known."""
    low_ohm, high_ohm = seen(expected.low), seen(expected.high)
    causes = [_joint(low_ohm, high_ohm), *_leads(job, low_ohm, high_ohm)]
    causes.append(Cause("the instrument's test that does not trip an RCD", "read again with the test at full current "
                        "where that is possible", low_ohm, high_ohm + practice("quiet_test_most")))  # fmt: skip
    if not route_gaps(job) and job.supply.ze_ohm is not None:
        causes.append(Cause("a parallel path to earth by bonding or metalwork",
                            "lawful; Ze plus R1 + R2 is the value that counts", _line_alone(job) or 0.0,
                            high_ohm))  # fmt: skip
    return doubted(reading, expected, causes)


def of_electrode(job: Job, reading: Reading, expected: Expected) -> Doubt | None:
    """What an odd electrode resistance may come from. `expected` must be known."""
    causes = [
        Cause("other soil than was entered", "look at what came up on the rod; test again after dry weather"),
        Cause("a parallel earth still joined to it, if lower", "disconnect it from everything, then read again"),
        Cause("a loose clamp, if higher", "clean and tighten the clamp at the rod, then read again"),
        Cause("the stakes of the test too near", "move the middle stake a tenth nearer, then farther: all alike?"),
    ]
    return doubted(reading, expected, causes)


def _leads(job: Job, low_ohm: float, high_ohm: float) -> list[Cause]:
    stated = job.tests.leads_ohm
    leads = stated or Reading(practice("leads_least"), practice("leads_most"))
    basis = "" if stated else " (usual leads)"
    out_low, out_high = allowed(low_ohm + leads.low, high_ohm + leads.high)
    twice_low, twice_high = allowed(max(0.0, low_ohm - leads.high), max(0.0, high_ohm - leads.low))
    return [
        Cause(f"leads not subtracted{basis}", "short the leads, null the instrument, read again", out_low, out_high),
        Cause(f"leads subtracted twice{basis}", "short the leads: it must read zero", twice_low, twice_high),
    ]


def _joint(low_ohm: float, high_ohm: float) -> Cause:
    prove = "tighten each terminal to its maker's torque, dead; wiggle: a reading that moves is a joint"
    return Cause("a loose terminal", prove, low_ohm + practice("joint_least"), high_ohm + practice("joint_most"))


def _parallel(job: Job, low_ohm: float) -> list[Cause]:
    prove = "disconnect the protective conductor at one end, and any armour or fixing with it, then read again"
    line_ohm_alone = _line_alone(job)
    return [Cause("a parallel path beside the protective conductor", prove, line_ohm_alone, low_ohm)]


def _line_alone(job: Job) -> float | None:
    """R1 in ohm, the least that any path beside the protective conductor could leave; None where it is unknown."""
    try:
        return sum(line_ohm(section, number, BEST, Working(), conductors(job).low)
                   for number, section in enumerate(job.route, start=1))  # fmt: skip
    except (NoRow, LookupError):
        return None


def _other_sizes(job: Job) -> list[Cause]:
    """Every protective conductor one standard size away, and that of an armoured cable's other paths."""
    found = []
    sizes_mm2 = sorted(float(row["size_mm2"]) for row in rows("iec/copper_resistance"))
    for step, word in ((-1, "smaller"), (1, "larger")):
        if all(section.cable.cpc == "armour" for section in job.route):
            break
        other = _stepped(job, sizes_mm2, step)
        span = _span(other) if other is not None else None
        if span is not None:
            found.append(Cause(f"a protective conductor one size {word} than entered",
                               "read the size on the cable and at both ends", *span))  # fmt: skip
    for kind, words in (("core", "armour not connected at one end"), ("core and armour", "armour connected as well")):
        other = _earthed_by(job, kind)
        span = _span(other) if other is not None else None
        if span is not None:
            found.append(Cause(words, "look at the glands and earth tags at both ends", *span))
    return found


def _stepped(job: Job, sizes_mm2: list[float], step: int) -> Job | None:
    """The job with each copper protective conductor so many standard sizes away; None where the list ends."""
    route = []
    for number, section in enumerate(job.route, start=1):
        if section.cable.cpc == "armour":
            route.append(section)
            continue
        place = sizes_mm2.index(cpc_size_mm2(section, number, Working())) + step
        if not 0 <= place < len(sizes_mm2):
            return None
        route.append(replace(section, cable=replace(section.cable, cpc_mm2=sizes_mm2[place])))
    return replace(job, route=tuple(route))


def _earthed_by(job: Job, kind: str) -> Job | None:
    """The job with its armoured cables earthed the other way; None where that changes nothing."""
    was = "core and armour" if kind == "core" else "core"
    route = tuple(
        replace(section, cable=replace(section.cable, cpc=kind))  # type: ignore[arg-type]
        if section.cable.cpc == was and (section.cable.kind or "").startswith("armoured") and section.cable.cores_count
        else section
        for section in job.route
    )
    return None if route == job.route else replace(job, route=route)


def _span(job: Job) -> tuple[float, float] | None:
    warm = conductors(job)
    try:
        return allowed(tested_route_ohm(job, BEST, warm.low, Working()),
                       tested_route_ohm(job, WORST, warm.high, Working()))  # fmt: skip
    except NoRow:
        return None


def _length(job: Job, reading: Reading, expected: Expected) -> list[Cause]:
    """The run that the reading would mean; it can explain any reading, and so stands last."""
    length_m = sum(seen(section.length_m).high for section in job.route)
    high_ohm = seen(expected.high)
    if high_ohm <= 0 or reading.high <= 0:
        return []
    means_m = length_m * reading.high / high_ohm
    return [Cause(f"a run of about {means_m:.0f} m rather than {length_m:g} m", "measure the cable again by its marks")]
