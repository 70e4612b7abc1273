"""The sunshine forecast as text for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from ampwright.assess.forecast.account import CODES, UNCONTROLLED, WAYS
from ampwright.assess.forecast.bands import (
    FIGURES,
    Band,
    band,
    ceiling_band,
    monthly,
    unmet_miles,
    whole_cost_gbp,
    yearly,
)  # fmt: skip
from ampwright.assess.forecast.clock import MONTHS
from ampwright.assess.forecast.forecast import Forecast
from ampwright.assess.forecast.levers import Answer, Bar
from ampwright.assess.forecast.years import CEILING_EVERY, FEW_YEARS_COUNT
from ampwright.deliver.screen import WIDTH, wrapped

INDENT = 4
NAME_WIDTH = 21
BAR_WIDTH = 40
GAP = 2
COLUMNS = ("own_share_percent", "sun_miles", "unmet_miles", "cost_gbp", "starts")
HEADS = ("own share %", "miles from sun", "miles unmet", "grid cost £", "starts")
MEANING = {
    "surplus only": "follows what the house leaves of the sun, in whole amperes from 6 A; never starts on the grid",
    "surplus with a floor": "never below 6 A from plugging in until full; more when the sun gives more",
    "steady": "one whole current, the least that fills the battery by the time the car leaves",
    "night window": "full current in the tariff's cheap hours, and at no other time",
    "ready by": "surplus only, and full current from the grid as late as will do for the next trip",
    UNCONTROLLED: "full current from plugging in until full: the floor of this table",
}
ACCOUNT = ("How it is reckoned: the house is served first. In each minute the car's own share is what the house left "
           "of the sun, as far as the car takes it; what the grid adds to reach 6 A counts as grid, and so do the "
           "minutes of the stop delay. The share is of all that the driving needs, so miles unmet count against it, "
           "and so does a battery that ends the year emptier than it began. "
           "What charging loses is shown apart. A store gives to the house first, then to the car.")  # fmt: skip
NO_PROMISE = ("A forecast of invented years, not a promise: no British measurement of a car that follows the sun was "
              "found to hold it against.")  # fmt: skip
BAND_NOTE = ("P10 / P50 / P90: in one year of ten it is below the first, in one of ten above the last. The years "
             "differ in their weather and in all that the survey leaves open, so asking narrows the band.")  # fmt: skip
COST_NOTE = ("The grid cost is that of charging at this home alone: miles unmet are charged elsewhere, at a price that "
             "is not in it, and the pay lost for what is no longer sent out stands apart.")  # fmt: skip


def forecast_text(made: Forecast) -> str:
    """The whole forecast."""
    title = made.job.title or made.job.reference or "This job"
    count = len(made.years)
    head = [f"{title}: sunshine forecast", *textwrap.wrap(f"{count} invented years by minute. {BAND_NOTE}", WIDTH)]
    head += [line for note in notes_of(made) for line in textwrap.wrap(note, WIDTH)]
    if not made.complete:
        head += wrapped(f"BROKEN OFF: {broken_words(made)}.", INDENT)
    blocks = ["\n".join(head), _table(made), _figures(made), _months(made)]
    if made.bars:
        blocks.append(_bars(made))
    if made.goal_percent is not None:
        blocks.append(_goal(made))
    blocks += [_supposed(made), textwrap.fill(ACCOUNT, WIDTH), _origin(made)]
    return "\n\n".join(blocks)


def notes_of(made: Forecast) -> tuple[str, ...]:
    """What stands above all figures: whose they are, and whether the band is that of one driver."""
    car, *others = made.job.vehicles
    notes = [f"The car reckoned with is {car.name}."]
    if others:
        notes[0] += (f" The job has {len(others)} more ({', '.join(each.name for each in others)}), which "
                     f"{'is' if len(others) == 1 else 'are'} not reckoned with: while another has the charge point, "
                     "this one has less of the sun than is said here.")  # fmt: skip
    if not car.trips or not car.plugs_in_on:
        notes.append("Nobody asked when this car is away or plugged in, so the years take turns among several drivers: "
                     "the band is theirs together, not this customer's.")  # fmt: skip
    return (*notes, *_cheapest(made))


def _cheapest(made: Forecast) -> tuple[str, ...]:
    """Which way costs least, where it is not the one with the greatest share."""
    costs = {way: band([whole_cost_gbp(year.outcomes[way], year.plan) for year in made.years])
             for way in CODES if all(unmet_miles(year.outcomes[way]) < 1.0 for year in made.years)}  # fmt: skip
    known = {way: found for way, found in costs.items() if found is not None}
    if not known or (least := min(known, key=lambda way: known[way].value)) == made.bars_way:
        return ()
    beside = known.get(made.bars_way)
    against = f", against £{short_words(beside)} for {made.bars_way}" if beside else ""
    return (f"The greatest share is not the least cost: of the ways that leave no mile unmet {least} costs least, "
            f"£{short_words(known[least])} a year{against} (what the grid gives and the pay for export forgone).",
            )  # fmt: skip


def broken_words(made: Forecast) -> str:
    """How far a run that was broken off had come."""
    count = len(made.years)
    if count < made.asked_count:
        return f"{count} of {made.asked_count} years were done; the rest is missing"
    if made.goal_percent is None or not made.answers:
        return "every year is done; what moves the share most was not worked out to its end"
    return "every year is done; the search for the share wanted did not come to its end"


def _table(made: Forecast) -> str:
    """One line a way, the floor first and the ceiling last."""
    table: list[tuple[str, ...]] = [HEADS]
    for way in (UNCONTROLLED, *WAYS):
        found = yearly(made.years, way)
        table.append(tuple(short_words(found[name]) for name in COLUMNS))
    widths = [max(len(cell) for cell in column) + GAP for column in zip(*table, strict=True)]
    lines = ["BY WAY OF CHARGING (a year)"]
    for name, cells in zip(("", UNCONTROLLED, *WAYS), table, strict=True):
        row = "".join(f"{cell:>{width}}" for cell, width in zip(cells, widths, strict=True))
        lines.append(f"{name:<{NAME_WIDTH}}{row}")
    some = "" if len(made.years) <= FEW_YEARS_COUNT else f"; every {CEILING_EVERY}th year"
    lines.append(f"{'perfect foresight':<{NAME_WIDTH}}{short_words(ceiling_band(made.years)):>{widths[0]}}"
                 f"  (the ceiling, hour by hour, without 6 A, delays or cap{some})")  # fmt: skip
    lines += wrapped(COST_NOTE, INDENT)
    lines += [line for way, words in MEANING.items() for line in wrapped(f"{way}: {words}.", INDENT)]
    return "\n".join(lines)


def _figures(made: Forecast) -> str:
    """Every figure of the way with the greatest share; --json and --csv have those of the others."""
    found = yearly(made.years, made.bars_way)
    lines = [f"ALL OF IT, {made.bars_way} (a year; --csv and --json have the other ways)"]
    lines += [f"    {words:<48}{short_words(found[name], wide=True):>28}" for name, (words, _) in FIGURES.items()]
    return "\n".join(lines)


def _months(made: Forecast) -> str:
    way = made.bars_way
    lines = [f"MONTH BY MONTH, {way}",
             f"{'':<12}{'own share %':>18}{'sun kWh':>18}{'grid kWh':>18}{'miles unmet':>18}"]  # fmt: skip
    for name, found in zip(MONTHS, monthly(made.years, way), strict=True):
        cells = (found[each] for each in ("own_share_percent", "sun_kwh", "grid_kwh", "unmet_miles"))
        lines.append(f"{name:<12}" + "".join(f"{short_words(cell):>18}" for cell in cells))
    return "\n".join(lines)


def _bars(made: Forecast) -> str:
    """The assumptions, the one that moves the share most first."""
    top = max(bar.high_percent for bar in made.bars) or 1.0
    lines = [f"WHAT MOVES THE SHARE MOST ({made.bars_way}, the middle of a few years, 0 to {top:.0f} %)"]
    for bar in made.bars:
        lines.append(f"    {_drawn(bar, top)}  {bar.low_percent:.0f} to {bar.high_percent:.0f} %")
        lines += wrapped(f"{bar.name}: {bar.words}", INDENT)
    return "\n".join(lines)


def _drawn(bar: Bar, top_percent: float) -> str:
    low, high = (round(BAR_WIDTH * end / top_percent) for end in (bar.low_percent, bar.high_percent))
    return f"|{' ' * low}{'=' * max(high - low, 1)}".ljust(BAR_WIDTH + 2) + "|"


def _goal(made: Forecast) -> str:
    lines = [f"HOW TO GET TO {made.goal_percent:g} % (in the middle year of a few, a worse one gives less)"]
    if not made.answers:
        return "\n".join([*lines, "    the run was broken off before this was searched"])
    if not made.complete:
        lines += wrapped("The search was broken off; what it had found by then:", INDENT)
    elif not any(answer.reached for answer in made.answers):
        lines += wrapped("Nothing that was tried reaches it in the middle of the years "
                         "(plugging in every day, one phase in weak sun, up to twice "
                         "the array, a store of up to 10 kWh). The nearest:", INDENT)  # fmt: skip
    for answer in made.answers:
        lines += list(_answer(answer))
    return "\n".join(lines)


def _answer(answer: Answer) -> Iterator[str]:
    do = "; and ".join(answer.words)
    yield from wrapped(f"- {do}; charging {answer.way}: {short_words(answer.share_percent)} %", INDENT)


def _supposed(made: Forecast) -> str:
    lines = ["WHAT WAS SUPPOSED"]
    lines += [line for each in made.supposed for line in wrapped(f"- {each}.", INDENT)]
    return "\n".join(lines if made.supposed else [*lines, "    nothing: everything asked for is in the job"])


def _origin(made: Forecast) -> str:
    lines = ["WHERE IT COMES FROM", *wrapped(f"Sun: {made.source.words}.", INDENT)]
    lines += [f"    its hash {made.source.sha256[:16]}, the job's {made.sha256[:16]}, seed {made.setting.seed}"]
    lines += wrapped(NO_PROMISE, INDENT)
    return "\n".join(lines)


def short_words(found: Band | None, *, wide: bool = False) -> str:
    """P10, P50 and P90 in whole numbers, or none."""
    if found is None:
        return "none"
    between = " / " if wide else "/"
    return between.join(f"{value:,.0f}" for value in (found.low, found.value, found.high))
