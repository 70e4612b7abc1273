"""Checks as blocks: the question, the answer, the clause, and the working as it stands on paper."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from ampwright.deliver.documents.blocks import Judged, Stretch
from ampwright.deliver.screen import ON_SCREEN, paper, unit_words
from ampwright.job.fields import in_words
from ampwright.working import Check, Step, Trust, Verdict, shown


def judged(checks: Iterable[Check]) -> Iterator[Judged]:
    """Each check with its working; a caution or a stretch of working that was told before is only called back."""
    cautions: set[str] = set()
    told: dict[tuple[str, ...], str] = {}
    for check in checks:
        memory = "; clause from memory" if check.clause_trust is Trust.MEMORY else ""
        needs = "; ".join(in_words(path) for path in check.needs) if check.verdict is Verdict.NOT_YET_KNOWN else ""
        yield Judged(
            asks=check.asks,
            verdict=ON_SCREEN[check.verdict],
            says=check.says,
            clause=f"{check.clause}{memory} ({check.rule})",
            find_out=f"{needs}." if needs else "",
            cautions=tuple(_brief(each) if each in cautions else each for each in check.cautions),
            working=tuple(_stretches(check, told)),
        )
        cautions.update(check.cautions)


def _brief(caution: str) -> str:
    return f"as above: {caution.split('. ')[0].rstrip('.')}."


def _stretches(check: Check, told: dict[tuple[str, ...], str]) -> Iterator[Stretch]:
    for heading, under in groupby(check.working, key=lambda step: step.under):
        lines = tuple(line_of(step) for step in under)
        first = told.setdefault((heading, *lines), check.asks)
        yield Stretch(heading, (f"As worked under: {first}",) if first != check.asks and len(lines) > 2 else lines)


def line_of(step: Step) -> str:
    """One line of working: a remark, a number with where it comes from, or an equation, filled in and done."""
    if step.value is None:
        return step.formula
    symbol, result = paper(step.symbol), f"{shown(step.value)} {unit_words(step.unit)}".strip()
    if not step.formula:
        trust = f" ({step.trust.value})" if step.trust else ""
        return f"{symbol} = {result}  [{step.source}{trust}]"
    filled = "" if step.filled in (step.formula, shown(step.value)) else f" = {paper(step.filled)}"
    return f"{symbol} = {paper(step.formula)}{filled} = {result}"
