"""Which assumption moves the share most, and what it would take to reach a share that is wanted."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from ampwright.assess.forecast.account import CODES, WAYS, home_of, run
from ampwright.assess.forecast.bands import Band, band, share_percent
from ampwright.assess.forecast.clock import Array
from ampwright.assess.forecast.kernel import quickest
from ampwright.assess.forecast.plan import EVERY_DAY, THRICE, Pattern, Plan, changed, plan_of, supposed_trips
from ampwright.assess.forecast.roof import peak_of
from ampwright.assess.forecast.stays import Stays, stays_of
from ampwright.assess.forecast.years import (
    CAR,
    PLAN,
    Drawn,
    Setting,
    Year,
    drawn_for,
    house_of,
    job_of,
    lags_of,
    stream,
)
from ampwright.job.record import Job
from ampwright.physics.minute import LAG_ON_CHANGE, NO_LAG
from ampwright.reading import Reading

BAR_YEARS_COUNT = 6
ARRAYS = (1.0, 1.25, 1.5, 2.0)
STORES_KWH = (0.0, 5.0, 10.0)
ANSWERS_COUNT = 3
Told = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Change:
    """One thing done otherwise: the array times a number, and other numbers of the plan."""

    words: str
    array_ratio: float = 1.0
    house_ratio: float = 1.0
    plan: tuple[tuple[str, object], ...] = ()


@dataclass(frozen=True, slots=True)
class Bar:
    """How far one assumption moves the middle share: from `low` to `high`, and what each end is."""

    name: str
    low_percent: float
    high_percent: float
    words: str


@dataclass(frozen=True, slots=True)
class Answer:
    """One way to the goal: what to do, which way of charging then does it, and the band of the share."""

    words: tuple[str, ...]
    way: str
    share_percent: Band
    reached: bool


@dataclass(frozen=True, slots=True)
class Tried:
    """A combination that was tried, its best way, and the share of that way in each year."""

    changes: tuple[Change, ...]
    way: str
    shares_percent: tuple[float, ...]

    @property
    def middle_percent(self) -> float:
        """The share in the middle year."""
        return float(np.median(self.shares_percent))


def bars(setting: Setting, years: Sequence[Year], way: str, told: Told) -> tuple[tuple[Bar, ...], bool]:
    """One bar for each assumption, the longest first, and whether every year was done: Ctrl-C keeps those that are."""
    some = [year.number for year in years[:BAR_YEARS_COUNT]]
    pairs = _assumptions()
    changes = [change for _, ends in pairs for change in ends]
    shares_percent: list[list[float]] = []
    made: list[Bar] = []
    try:
        for done, number in enumerate(some):
            told(done, len(some))
            at = _at(setting, number)
            shares_percent.append([_share(at(change), way) for change in changes])
        made += [bar for bar in [_weather_bar(setting, some, way)] if bar is not None]
        told(len(some), len(some))
        complete = True
    except KeyboardInterrupt:
        complete = False
    found = {change.words: [row[place] for row in shares_percent] for place, change in enumerate(changes)}
    made += [_bar(name, ends, found) for name, ends in pairs if shares_percent]
    return tuple(sorted(made, key=lambda bar: bar.low_percent - bar.high_percent)), complete


def goal(setting: Setting, years_count: int, goal_percent: float, told: Told) -> tuple[tuple[Answer, ...], bool]:
    """The least that reaches the share wanted, a few answers; where nothing does, the best there is.

    And whether the search came to its end: Ctrl-C keeps what was found.
    """
    makers = [_at(setting, number) for number in range(min(BAR_YEARS_COUNT, years_count))]
    tried: list[Tried] = []
    reached: list[Tried] = []
    combinations = list(_combinations(setting, years_count))
    try:
        for done, changes in enumerate(combinations):
            told(done, len(combinations))
            if any(_asks_no_less(changes, fewer.changes) for fewer in reached):
                continue
            tried.append(_tried(makers, changes))
            if tried[-1].middle_percent >= goal_percent:
                reached.append(tried[-1])
            if len(reached) == ANSWERS_COUNT:
                break
        told(len(combinations), len(combinations))
        complete = True
    except KeyboardInterrupt:
        complete = False
    chosen = reached or sorted(tried, key=lambda each: -each.middle_percent)[:1]
    return tuple(_answer(each, goal_percent) for each in chosen), complete


def _asks_no_less(changes: tuple[Change, ...], than: tuple[Change, ...]) -> bool:
    """Whether each change of the second stands in the first, as large or larger."""

    def covers(more: Change, fewer: Change) -> bool:
        held = dict(more.plan)
        return more.array_ratio >= fewer.array_ratio and all(
            name in held and (held[name] == value or (isinstance(value, float) and held[name] >= value))  # type: ignore[operator]
            for name, value in fewer.plan)  # fmt: skip

    return all(any(covers(more, fewer) for more in changes) for fewer in than)


def _answer(tried: Tried, goal_percent: float) -> Answer:
    """What was tried, in words and with its band."""
    found = band(tried.shares_percent) or Band(0.0, 0.0, 0.0)
    words = tuple(change.words for change in tried.changes) or ("nothing beyond the way of charging",)
    return Answer(words, tried.way, found, found.value >= goal_percent)


def _at(setting: Setting, number: int) -> Callable[[Change], Drawn]:
    """A year with anything changed; its sun, its house and its stays are worked out once for all that leave them."""
    suns: dict[float, Array] = {}
    stays: dict[Pattern, Stays] = {}
    job = job_of(setting, number)
    base = plan_of(job, stream(setting.seed, number, PLAN), number)
    load_kw = house_of(setting, number, base)
    lag_min = lags_of(setting, number)

    def made(change: Change) -> Drawn:
        ratio, plan = change.array_ratio, changed(base, **dict(change.plan))
        if ratio not in suns:
            suns[ratio] = setting.sun_of(scaled(job, ratio), setting.seed, number)
        if plan.pattern not in stays:
            stays[plan.pattern] = stays_of(plan, stream(setting.seed, number, CAR))
        return Drawn(plan, stays[plan.pattern], home_of(plan, suns[ratio], load_kw * change.house_ratio), lag_min)

    return made


def _weather_bar(setting: Setting, numbers: Sequence[int], way: str) -> Bar | None:
    """The plan, the roof and the house of one year, the second for its middling driver, under the sun of every year."""
    one = numbers[min(1, len(numbers) - 1)]
    job = job_of(setting, one)
    plan = plan_of(job, stream(setting.seed, one, PLAN), one)
    load_kw = house_of(setting, one, plan)
    suns = (setting.sun_of(job, setting.seed, number) for number in numbers)
    found = band([_share(drawn_for(setting, one, plan, sun_kw, load_kw), way) for sun_kw in suns])
    return None if found is None else Bar("the weather of the year", found.low, found.high, "P10 to P90")


def _share(year: Drawn, way: str) -> float:
    outcome = run(CODES[way], year.plan, year.stays, year.home, year.lag_min, quickest(), with_export=False)[1]
    return share_percent(outcome)


def _tried(makers: Sequence[Callable[[Change], Drawn]], changes: tuple[Change, ...]) -> Tried:
    """A combination by every way in every year; the way with the greatest middle share stands for it."""
    years = [made(_together(changes)) for made in makers]
    each = [Tried(changes, way, tuple(_share(year, way) for year in years)) for way in WAYS]
    return max(each, key=lambda one: one.middle_percent)


def scaled(job: Job, ratio: float) -> Job:
    """The same job with larger or smaller arrays, and an inverter to suit."""
    if ratio == 1.0:
        return job

    def times(reading: Reading | None) -> Reading | None:
        if reading is None:
            return None
        return dataclasses.replace(reading, low=reading.low * ratio, high=reading.high * ratio)

    arrays = tuple(dataclasses.replace(array, peak_kw=times(array.peak_kw)) for array in job.generation.arrays)
    generation = dataclasses.replace(job.generation, arrays=arrays, inverter_a=times(job.generation.inverter_a))
    return dataclasses.replace(job, generation=generation)


def _assumptions() -> tuple[tuple[str, tuple[Change, Change]], ...]:
    """Each assumption with its two ends."""
    away, _, home = supposed_trips()
    ideal = (("least_a", 0), ("wait_min", 0), ("linger_min", 0))

    def pattern(name: str, trips: object) -> Change:
        return Change(name, plan=(("trips", trips),))

    return (
        ("when the car is home", (pattern(away.words, away.trips), pattern(home.words, home.trips))),
        ("on which days it is plugged in", (Change("three days a week", plan=(("plugs_in_on", THRICE),)),
                                            Change("every day it is home", plan=(("plugs_in_on", EVERY_DAY),)))),
        ("the array", (Change("a quarter smaller", 0.75), Change("a quarter larger", 1.25))),
        ("the least current", (Change("6 A", plan=(("least_a", 6),)),
                               Change("none at all, which no charge point does", plan=ideal))),
        ("the stop delay", (Change("1 minute", plan=(("linger_min", 1),)),
                            Change("30 minutes", plan=(("linger_min", 30),)))),
        ("the charge point's settings", (
            Change("shut out at peak hours and a random delay at every change, as the regulations have it supplied",
                   plan=(("default_hours", True), ("lag_kind", LAG_ON_CHANGE))),
            Change("the owner has put both aside", plan=(("default_hours", False), ("lag_kind", NO_LAG))))),
        ("the house load", (Change("a third more", house_ratio=4 / 3), Change("a third less", house_ratio=2 / 3))),
    )  # fmt: skip


def _bar(name: str, ends: tuple[Change, Change], found: dict[str, list[float]]) -> Bar:
    middles = sorted((float(np.nanmedian(found[change.words])), change.words) for change in ends)
    (low, low_words), (high, high_words) = middles
    return Bar(name, low, high, f"{low_words}; or {high_words}")


def _combinations(setting: Setting, years_count: int) -> Iterator[tuple[Change, ...]]:
    """What could be done, the least first: days, single phase in weak sun, a longer stop delay, array, store."""
    plans = [plan_of(setting.job, stream(setting.seed, number, PLAN), number) for number in range(min(years_count, 6))]
    choices = [_arrays(setting.job), _stores(plans[0])]
    if any(len(plan.pattern.plugs_in_on) < len(EVERY_DAY) for plan in plans):
        choices.insert(0, [None, Change("plug in every day the car is home", plan=(("plugs_in_on", EVERY_DAY),))])
    if any(plan.phases > 1 and not plan.switches for plan in plans):
        choices.insert(0, [None, Change("let it go down to one phase in weak sun", plan=(("switches", True),))])
    made = [tuple(change for change in chosen if change is not None) for chosen in product(*choices)]
    yield from sorted(made, key=lambda changes: (len(changes), sum(change.array_ratio for change in changes)))


def _arrays(job: Job) -> list[Change | None]:
    peak_kw = peak_of(job)
    return [None, *(Change(f"an array of {peak_kw * ratio:.3g} kW instead of {peak_kw:.3g} kW", ratio)
                    for ratio in ARRAYS[1:])]  # fmt: skip


def _stores(plan: Plan) -> list[Change | None]:
    return [None, *(Change(f"a store of {kwh:g} kWh that may feed the car",
                           plan=(("store_kwh", kwh), ("store_feeds_car", True)))
                    for kwh in STORES_KWH[1:] if kwh > plan.store_kwh)]  # fmt: skip


def _together(changes: tuple[Change, ...]) -> Change:
    """Several changes as one."""
    ratio = float(np.prod([change.array_ratio for change in changes])) if changes else 1.0
    return Change("; ".join(change.words for change in changes), ratio,
                  plan=tuple(pair for change in changes for pair in change.plan))  # fmt: skip
