"""Proposed designs, and why others are not among them, as text for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from typing import TypeVar

from ampwright.assess.assessment import assess, possible_answers
from ampwright.assess.book import BOOK
from ampwright.assess.design import Design, Picked, Proposal, charged_kwh_per_year
from ampwright.assess.price import Price
from ampwright.assess.ruled_out import RuledOut, ruled_out
from ampwright.assess.search.bench import RANK
from ampwright.assess.search.routes import CHANGES_COUNT
from ampwright.assess.take import Remedy, what_would_it_take
from ampwright.assess.take_levers import GOOD
from ampwright.assess.turning import Turning, turning_values
from ampwright.assess.turning_words import safe_if
from ampwright.deliver.screen import ON_SCREEN, WIDTH, check_text, tally, wrapped
from ampwright.job.fields import in_words
from ampwright.job.paths import replaced
from ampwright.job.record import Job
from ampwright.rules.regulation import Regulation
from ampwright.working import Check, Verdict, capital

INDENT = 4
NAMED_COUNT = 4
Number = TypeVar("Number", int, Decimal)


def note(whose: str) -> str:
    """What stands under every choice of design; `whose` says whose catalogue it is."""
    return ("In the price is what the catalogue has a row for, and no more. Prices and times are the catalogue's; "
            f"{whose} A design is a proposal: the designer answers for it, by the current standard, the makers' "
            "instructions and the network operator.")  # fmt: skip


NOTE = note("those of the catalogue that comes with the program are invented. Give your own with --catalogue.")


def design_text(proposal: Proposal, *, everything: bool = False) -> str:
    """The proposal: the few designs worth a look (or all on the front), what was ruled out, and what it would take."""
    job = proposal.search.space.job
    title = job.title or job.reference or "This job"
    searched = (f"{proposal.count:,} combinations of the catalogue searched, {proposal.judged_count:,} questions put "
                f"to the rules; {len(proposal.front)} designs stand that no other beats.")  # fmt: skip
    blocks = [f"{title}\n{textwrap.fill(searched, WIDTH)}"]
    if not proposal.front:
        blocks.append(no_design(proposal))
    said = [left_open(design) for _, design in proposal.best]
    several = len(proposal.search.space.stretches) > CHANGES_COUNT + 1
    if several:
        words = f"The route has many stretches: searched were ways with at most {CHANGES_COUNT} changes of cable."
        blocks.append(words)
    shared = [each for each in said[0] if all(each in other for other in said)] if len(said) > 1 else []
    for number, (why, design) in enumerate(proposal.best, start=1):
        own = [each for each in said[number - 1] if each not in shared]
        blocks.append(one_design(number, why, design, own, everything=everything))
    if shared:
        lines = (line for each in shared for line in wrapped(f"- {each}", INDENT))
        blocks.append("\n".join(["WITH EVERY ONE OF THESE", *lines]))
    if everything and proposal.front:
        blocks.append("\n".join(["ALL ON THE FRONT", *map(_line, proposal.front)]))
    if proposal.best:
        blocks += _ruled_out(proposal, everything)
    blocks += _remedies(proposal)
    return "\n\n".join([*blocks, textwrap.fill(NOTE, WIDTH)])


def no_design(proposal: Proposal) -> str:
    """What no choice of the catalogue mends, by way of charging."""
    lines = ["NO DESIGN OF THE CATALOGUE STANDS"]
    for charge in proposal.search.charges:
        rules = proposal.search.impossible.get(charge.choice.id, ())
        why = f"no choice meets: {_asked(rules)}" if rules else "no one combination meets every check"
        lines += wrapped(f"{charge.choice.words}: {why}.", INDENT)
    return "\n".join(lines)


def one_design(number: int, why: str, design: Design, own: list[str], *, everything: bool = False) -> str:
    """One design: why it is here, what it is, price, time, loss, how it stands, and what of it is left open."""
    hours = ends_words(design.minutes, lambda minutes: f"{minutes / 60:.1f}")
    lines = [f"{number}. {capital(why)}", *wrapped(f"{design.words}.", INDENT)]
    lines += wrapped(f"{price_words(design.price)} with VAT at {design.price.vat_percent:g} %; {hours} h on site; "
                     f"{design.power_kw:.1f} kW; {lost_words(design)}.{left_words(design)}", INDENT)  # fmt: skip
    lines += wrapped(f"{design.standing.upper()}: {tally(design.assessment)}.", INDENT)
    lines += [line for each in own for line in wrapped(f"- {each}", INDENT)]
    if everything:
        lines += [f"\n{check_text(check)}" for check in design.assessment.checks]
    return "\n".join(lines)


def left_open(design: Design) -> list[str]:
    """What a design hangs on, open check by open check, and what it leaves to the designer."""
    judged = [f"{ON_SCREEN[check.verdict].lower()}: {check.asks} {check.says} [{check.rule}]"
              for check in design.assessment.checks if check.verdict is Verdict.FOR_THE_DESIGNER]  # fmt: skip
    cautions = dict.fromkeys(text for check in design.assessment.checks for text in check.cautions)
    return [*conditions(design), *judged, *(f"mind: {each}" for each in design.minds),
            *(f"CAUTION: {text}" for text in cautions)]  # fmt: skip


def conditions(design: Picked, *, with_rules: bool = True) -> Iterator[str]:
    """What the open checks of a design hang on: the reading, and the value where it turns; with the rule's own name.

    Of several checks that hang on one reading by itself the one that allows least is said, where the others hold
    wherever it does.
    """
    open_checks = [check for check in design.assessment.checks if check.verdict is Verdict.NOT_YET_KNOWN]
    turned = {check.rule: _turned(design, check) for check in open_checks}
    for check in open_checks:
        said = [safe_if(each) for each in turned[check.rule] if each is not None and not _said_by_another(each, turned)]
        unsaid = [in_words(path) for path, each in zip(check.needs, turned[check.rule], strict=True) if each is None]
        parts = [*said, *(f"hangs on {words}" for words in unsaid)]
        if parts:
            yield f"{check.asks} {'; or '.join(parts)}{f' [{check.rule}]' if with_rules else ''}"


def _turned(design: Picked, check: Check) -> list[Turning | None]:
    """Where a check turns by each reading it needs; if none settles it alone, with the others at their best."""
    rule, job = design.assessment.book.regulation(check.rule), design.job
    alone = [turning_values(job, rule, path) for path in check.needs]
    if any(each is not None and _settles(each) for each in alone) or len(check.needs) == 1:
        return alone
    return [turning_values(_at_best(job, rule, check.needs, path), rule, path) for path in check.needs]


def _at_best(job: Job, rule: Regulation, paths: tuple[str, ...], but: str) -> Job:
    for path in (each for each in paths if each != but):
        answers = possible_answers(job, path)
        if answers:
            ranks = {RANK[rule(replaced(job, path, answer)).verdict]: answer for answer in reversed(answers)}
            job = replaced(job, path, ranks[min(ranks)])
    return job


def _settles(turning: Turning) -> bool:
    return any(verdict in GOOD for verdict in _verdicts(turning))


def _verdicts(turning: Turning) -> list[Verdict]:
    return [*(each.verdict for each in turning.stretches), *(each.verdict for each in turning.answers)]


def _said_by_another(turning: Turning, turned: dict[str, list[Turning | None]]) -> bool:
    """Whether another check allows less of the same reading, so that this one holds wherever that one does."""
    others = [each for of in turned.values() for each in of
              if each is not None and each.path == turning.path and each.rule != turning.rule and each.stretches]
    return any(_room(other) and _room(turning) and _room(other) < _room(turning) and all(
        turning.verdict_at(end) in GOOD for stretch in other.stretches if stretch.verdict in GOOD
        for end in (stretch.low, stretch.high)) for other in others)  # fmt: skip


def _room(turning: Turning) -> float:
    return sum(stretch.high - stretch.low for stretch in turning.stretches if stretch.verdict in GOOD)


def pounds(pence: int) -> str:
    """1234567 pence is £12,345.67."""
    return f"£{pence / 100:,.2f}"


def price_words(price: Price) -> str:
    """The price with VAT, as a band where the survey has ranges."""
    return ends_words((price.low_pence, price.high_pence), pounds)


def ends_words(ends: tuple[Number, Number], said: Callable[[Number], str]) -> str:
    """Both ends in words, or one where they read alike."""
    low, high = map(said, ends)
    return low if low == high else f"{low} to {high}"


def lost_words(design: Design) -> str:
    """What its cable loses, of so much charged and in a year where the miles are known."""
    share = f"the cable loses at most {design.lost_kwh_per_mwh:.1f} of every 1,000 kWh charged"
    charged = charged_kwh_per_year(design.job)
    if charged is None:
        return share
    return f"{share}, {charged.high * design.lost_kwh_per_mwh / 1000:.0f} kWh a year for the miles that are driven"


def _line(design: Design) -> str:
    figures = f"{price_words(design.price)}; {design.power_kw:.1f} kW; {design.lost_kwh_per_mwh:.1f} lost of 1,000 kWh"
    return "\n".join(wrapped(f"{figures}; {design.standing}: {design.words}", INDENT))


def left_words(design: Design) -> str:
    """What its load cap leaves the car while the house draws its most; nothing without one."""
    left_a = design.left_for_car_a
    if left_a is None:
        return ""
    return f" While the house draws its maximum demand the cap leaves the car {left_a:.1f} A."


def _ruled_out(proposal: Proposal, everything: bool) -> list[str]:
    found = ruled_out(proposal, proposal.best[0][1])
    blocks = []
    for heading, verdict in (("RULED OUT, WITH ALL ELSE AS NO. 1 HAS IT", Verdict.NOT_MET),
                             ("LEAVES SOMETHING TO YOU, WITH ALL ELSE AS NO. 1 HAS IT", Verdict.FOR_THE_DESIGNER)):
        groups: dict[tuple[str, str], list[RuledOut]] = {}
        for each in found:
            if each.check.verdict is verdict:
                groups.setdefault((each.axis, each.check.rule), []).append(each)
        lines = [line for alike in groups.values() for line in _alike_ruled_out(alike, everything)]
        if lines:
            blocks.append("\n".join([heading, *lines]))
    return blocks


def _alike_ruled_out(alike: list[RuledOut], everything: bool) -> list[str]:
    """Choices that one check rules out: all of them, or the plainest with the names of the others."""
    if everything:
        return [line for each in alike for line in _one_ruled_out(each, [])]
    first = min(alike, key=lambda each: each.choice.fixed.pence) if alike[0].axis != "cable" else alike[0]
    return _one_ruled_out(first, [each.choice.id for each in alike if each is not first])


def _one_ruled_out(each: RuledOut, others: list[str]) -> list[str]:
    named = ", ".join(others[:NAMED_COUNT]) + (f" and {len(others) - NAMED_COUNT} more" if others[NAMED_COUNT:] else "")
    also = f" So too: {named}." if others else ""
    return wrapped(f"{each.choice.words}: {each.check.says}{also} [{each.check.rule}; {each.check.clause}]", INDENT)


def _remedies(proposal: Proposal) -> list[str]:
    assessment = assess(proposal.search.space.job)
    taken = what_would_it_take(assessment, proposal.search.space.catalogue)
    if not taken:
        return []
    lines = ["WHAT IT WOULD TAKE, FOR THE JOB AS ENTERED",
             *wrapped("Each by itself; what else is not met stays so unless it is named.", INDENT)]  # fmt: skip
    for check in assessment.checks:
        if check.rule in taken:
            lines += wrapped(f"{check.asks} {check.says}", INDENT)
            lines += [line for text in check.cautions for line in wrapped(f"CAUTION: {text}", INDENT)]
            lines += [line for remedy in taken[check.rule] for line in wrapped(f"- {remedy_words(remedy)}", INDENT + 2)]
            if not taken[check.rule]:
                lines += wrapped("- no single change mends it", INDENT + 2)
    return ["\n".join(lines)]


def remedy_words(remedy: Remedy) -> str:
    """One change that would mend a check, and what else it mends or breaks."""
    also = f"; met with it as well: {_asked(remedy.also_mends)}" if remedy.also_mends else ""
    breaks = f"; but then not met: {_asked(remedy.breaks)}" if remedy.breaks else ""
    opens = f"; then to be looked at: {_asked(remedy.unsettles)}" if remedy.unsettles else ""
    return f"{remedy.words}{also}{breaks}{opens}"


def _asked(rules: Iterable[str]) -> str:
    return " ".join(BOOK.regulation(rule).asks for rule in rules)
