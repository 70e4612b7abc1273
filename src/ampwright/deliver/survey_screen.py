"""The visit list as text for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from decimal import ROUND_CEILING, ROUND_FLOOR
from itertools import groupby

from ampwright.assess.book import BOOK
from ampwright.assess.design import Design
from ampwright.assess.turning_words import rounded, safe_if, with_unit
from ampwright.assess.visit import Item, Survey
from ampwright.assess.visit_money import Decided
from ampwright.deliver.design_screen import pounds
from ampwright.deliver.screen import WIDTH, wrapped
from ampwright.facts import look_up_text
from ampwright.job.fields import bare, field, in_words, leaves
from ampwright.job.paths import pattern_of
from ampwright.working import capital

INDENT = 5
MOST_FIGURES_COUNT = 17
PRICED = ("Prices are those of the cheapest design of the catalogue at {power_kw:.1f} kW that the answer leaves "
          "standing, with VAT, at the longest that the route may be and if all else turns out well. Where no price "
          "stands, none hangs on that answer. Prices of the catalogue that comes with the program are "
          "invented.")  # fmt: skip
TESTED = "That is for the choice of a design: the tests and records of the finished work are made all the same."
BY_HAND = "This list replaces no look of your own: look into what seems wrong on site whether or not it stands here."


def survey_text(survey: Survey) -> str:
    """The visit list: stage by stage what to read, how and why, then what need not be looked at."""
    title = survey.job.title or survey.job.reference or "This job"
    count = len(survey.items)
    found = f"{count or 'Nothing'} {'thing ' if count == 1 else 'things ' if count else ''}to find out"
    blocks = [f"{title}\n{found}{', in the order of a visit' if count > 1 else ''}", about_money(survey)]
    told: set[str] = set()
    number = 1
    for name, items in survey.by_stage:
        texts = [item_text(place, item, told, survey.proposal is not None) for place, item in enumerate(items, number)]
        blocks.append("\n".join([name.upper(), *texts]))
        number += len(items)
    blocks += [textwrap.fill(each, WIDTH) for each in rest(survey)]
    return "\n\n".join([*blocks, textwrap.fill(BY_HAND, WIDTH)])


def item_text(number: int, item: Item, told: set[str], priced: bool) -> str:
    """One thing to find out: what and how, with what, why, what it decides, where it turns, and its cautions.

    A caution `told` before is only called back.
    """
    lines = wrapped(f"{in_words(item.path, how=True)}{instrument_words(item.path)}", INDENT)
    lines[0] = f"{number:>3}. {lines[0].lstrip()}"
    lines += [line for text in why_words(item, priced) for line in wrapped(text, INDENT)]
    for each in item.stage.cautions:
        text = look_up_text(f"{BOOK.country}/cautions", "text", id=each)
        lines += wrapped(f"CAUTION, as above: {text.split('. ')[0].rstrip('.')}." if each in told
                         else f"CAUTION: {text}", INDENT)  # fmt: skip
        told.add(each)
    return "\n".join(lines)


def money_words(item: Item) -> str:
    """What the answer decides in money: the prices, and under which answers none of the designs stands.

    Empty where it decides nothing by itself.
    """
    if not item.decided:
        return "What it decides in money cannot be tried beforehand."
    if not item.decides:
        return ""
    cheapest = min((each for each in item.decided if each.pence), key=lambda each: each.pence or (), default=None)
    if cheapest is None or cheapest.design is None:
        return "Whatever it is, no design stands."
    low, high = pounds(item.prices[0]), pounds(item.prices[-1])
    if len(item.decided) == 1:
        return f"The price moves with it, from {low} to {high}."
    between = f"Decides between {low} and {high}" if low != high else "Decides whether a design stands"
    if low == high and not item.none_stands:
        between = "Decides which design, at one price"
    said = (f"{_when(item.path, alike)} {_outcome(alike[0], alike[-1], cheapest.design)}"
            for alike in _alike(item.decided))  # fmt: skip
    return f"{between}: {'; '.join(said)}."


def about_money(survey: Survey) -> str:
    """What the prices of the list stand on."""
    if survey.proposal is None:
        why = " ".join(survey.why_no_money.split("\n"))
        return textwrap.fill(f"From the job as entered, without money. {why}".rstrip(), WIDTH)
    most_kw = max(design.power_kw for design in survey.proposal.front)
    return textwrap.fill(PRICED.format(power_kw=most_kw), WIDTH)


def instrument_words(path: str) -> str:
    """With what a field is read, in brackets."""
    if pattern_of(path) not in leaves():
        return ""
    instrument = field(path).instrument
    return "" if instrument == "none" else f" ({instrument})"


def why_words(item: Item, priced: bool) -> Iterator[str]:
    """Why a thing is to be found out, and what its answer decides."""
    unknown = item.unknown
    may = [rule for rule in unknown.may_settle if rule not in unknown.settles]
    part = [rule for rule in unknown.asked_by if rule not in (*unknown.settles, *may)]
    for verb, rules in (("Settles", unknown.settles), ("May settle", may), ("Part of", part)):
        if rules:
            yield f"{verb}: {' '.join(BOOK.regulation(rule).asks for rule in rules)}"
    if priced and not item.of_designs:
        yield "Only the job as entered asks for it, none of the designs."
    elif priced and money_words(item):
        yield money_words(item)
    for words, alike in groupby(item.turnings, key=safe_if):
        yield f"{capital(words)} [{', '.join(each.rule for each in alike)}]."


def _alike(decided: Iterable[Decided]) -> list[list[Decided]]:
    """Words under which the same design stands together; stretches of numbers are apart already."""
    groups: dict[int, list[Decided]] = {}
    for place, each in enumerate(decided):
        numbers = isinstance(each.low, float | int) and not isinstance(each.low, bool)
        groups.setdefault(place if numbers else id(each.design), []).append(each)
    return list(groups.values())


def _when(path: str, alike: list[Decided]) -> str:
    low, high = alike[0].low, alike[-1].high
    if bare(leaves()[pattern_of(path)]) is bool:
        return f"if {' or '.join('yes' if each.low else 'no' for each in alike)}"
    if isinstance(low, str):
        return f"if {' or '.join(str(each.low) for each in alike)}"
    ends = drawn_in(low, high)
    return f"at {with_unit(path, ends[0])}" if ends[0] == ends[1] else f"from {ends[0]} to {with_unit(path, ends[1])}"


def drawn_in(low: float, high: float) -> tuple[str, str]:
    """Both ends in as few figures as leave them in order, four or more, and neither claims too much."""
    for figures_count in range(4, MOST_FIGURES_COUNT):
        ends = rounded(low, ROUND_CEILING, figures_count), rounded(high, ROUND_FLOOR, figures_count)
        if float(ends[0]) <= float(ends[1]):
            return ends
    return repr(low), repr(high)


def _outcome(first: Decided, last: Decided, cheapest: Design) -> str:
    if first.pence is None or last.pence is None or first.design is None:
        return "no design stands"
    ends = sorted({first.pence[0], last.pence[1]})
    price = " to ".join(map(pounds, ends))
    other = _otherwise(first.design, cheapest)
    return f"{price} ({other})" if other else price


def _otherwise(design: Design, cheapest: Design) -> str:
    """What this design has that the cheapest of them has not."""
    words = [choice.words for axis, choice in design.choices.items() if choice is not cheapest.choices[axis]]
    if design.cables != cheapest.cables:
        words.append(design.cable_words)
    return "; ".join(words)


def rest(survey: Survey) -> list[str]:
    """What need not be looked at, and what else is to be said at the end of the list."""
    these = "for these designs" if survey.proposal else "for the job as entered"
    said = []
    for path, decided in survey.moves_price:
        ends = [each.pence for each in decided if each.pence]
        if ends:
            said.append(f"{in_words(path)}, from {pounds(ends[0][0])} at {_at(path, decided[0].low)} "
                        f"to {pounds(ends[-1][1])} at {_at(path, decided[-1].high)}")  # fmt: skip
    paragraphs = [
        ("No open check hangs on this, but the price moves with it", said, ""),
        (f"Need not be looked at {these}", map(in_words, survey.not_needed), TESTED),
        ("No open check asks for these, but an answer out of the usual would change a check or what you have to judge",
         map(in_words, survey.usual), ""),
        ("Chosen with the design, not read", map(in_words, survey.chosen), ""),
    ]  # fmt: skip
    known = ((opening, "; ".join(words), end) for opening, words, end in paragraphs)
    return [f"{opening}: {words}. {end}".rstrip() for opening, words, end in known if words]


def _at(path: str, value: float) -> str:
    return with_unit(path, f"{value:g}")
