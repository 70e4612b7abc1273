"""What the catalogue offers instead, and which of its choices mend a check, the smallest change first."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest
from typing import Any

from ampwright.assess.catalogue import Catalogue, Choice, held, offered
from ampwright.assess.take_levers import Candidate, Changes, Failing
from ampwright.job.record import Job

ONCE = ("charging", "protection", "earthing", "load cap", "tails", "main switch", "board")
CABLE = "route[].cable"
ONE_STRETCH, SEVERAL_STRETCHES, OTHER_CABLE, OTHER_THROUGHOUT = "next size", "next sizes", "cable", "one cable"


def by_choices(failing: Failing, catalogue: Catalogue) -> Iterator[list[Candidate]]:
    """For each axis and each way to change the cable, the choices that meet the check, the smallest change first."""
    for axis in ONCE:
        changes = [(_differing(failing.job, choice.changes()), choice) for choice in catalogue.axis(axis)
                   if offered(choice, failing.job)]  # fmt: skip
        changes.sort(key=lambda each: len(each[0]))
        yield [Candidate(axis, choice.words, each) for each, choice in changes if failing.meets(each)]
    yield _by_cable(failing, catalogue)


def _by_cable(failing: Failing, catalogue: Catalogue) -> list[Candidate]:
    """The next sizes on one stretch; where none will do, on several; then another cable on one, then on all."""
    job, stretches = failing.job, range(len(failing.job.route))
    larger = [_larger(job, catalogue, number) for number in stretches]
    other = [_not_smaller(job, catalogue, number) for number in stretches]
    same = [each for each in catalogue.axis("cable") if all(each in offers for offers in other)]
    ways = (
        (Candidate(ONE_STRETCH, f"{choice.words} ({job.route[number].name})", _laid(job, {number: choice}))
         for step in zip_longest(*larger) for number, choice in enumerate(step) if choice),
        _on_several(failing, larger),
        (Candidate(OTHER_CABLE, f"{choice.words} ({job.route[number].name})", _laid(job, {number: choice}))
         for number in stretches for choice in other[number]),
        (Candidate(OTHER_THROUGHOUT, f"{choice.words} throughout", _laid(job, dict.fromkeys(stretches, choice)))
         for choice in same),
    )  # fmt: skip
    for way in ways:
        found = [each for each in way if failing.meets(each.changes)]
        if found:
            return found
    return []


def _on_several(failing: Failing, larger: list[list[Choice]]) -> Iterator[Candidate]:
    """The first step of sizes, taken on every stretch at once, that meets the check, then less on each where that
    will do."""
    job = failing.job
    for step in zip_longest(*larger):
        laid = _filled(step, larger)
        if not failing.meets(_laid(job, laid)):
            continue
        for number in list(laid):
            others = {each: choice for each, choice in laid.items() if each != number}
            less = ({**others, number: choice} for choice in larger[number])
            laid = next(each for each in (others, *less) if failing.meets(_laid(job, each)))
        words = "; ".join(f"{choice.words} ({job.route[number].name})" for number, choice in sorted(laid.items()))
        yield Candidate(SEVERAL_STRETCHES, words, _laid(job, laid))
        return


def _larger(job: Job, catalogue: Catalogue, number: int) -> list[Choice]:
    """Cables of the same family and protective conductor as one stretch has, in rising size."""
    cable = job.route[number].cable
    family = (cable.kind, cable.cores_count, cable.cpc, bool(cable.carries_data))
    if cable.size_mm2 is None:
        return []
    found = [choice for choice in catalogue.axis("cable") if offered(choice, job, number)
             and _family(choice) == family and _size_mm2(choice) > cable.size_mm2]  # fmt: skip
    return sorted(found, key=_size_mm2)


def _not_smaller(job: Job, catalogue: Catalogue, number: int) -> list[Choice]:
    """Every cable that may be laid there and is no smaller than what is there, in rising size."""
    least_mm2 = job.route[number].cable.size_mm2 or 0.0
    found = [choice for choice in catalogue.axis("cable")
             if offered(choice, job, number) and _size_mm2(choice) >= least_mm2]  # fmt: skip
    return sorted(found, key=_size_mm2)


def _family(choice: Choice) -> tuple[Any, ...]:
    sets = dict(choice.sets)
    kind, cores = sets[f"{CABLE}.kind"], sets[f"{CABLE}.cores_count"]
    return kind, cores, sets[f"{CABLE}.cpc"], bool(sets[f"{CABLE}.carries_data"])


def _size_mm2(choice: Choice) -> float:
    return float(dict(choice.sets)[f"{CABLE}.size_mm2"])


def _filled(step: tuple[Choice | None, ...], larger: list[list[Choice]]) -> dict[int, Choice]:
    """The choice for each stretch at one step; a stretch whose sizes have run out keeps its largest."""
    return {number: choice or offers[-1] for number, (choice, offers) in enumerate(zip(step, larger, strict=True))
            if choice or offers}  # fmt: skip


def _laid(job: Job, choices: dict[int, Choice]) -> Changes:
    changes: dict[str, Any] = {}
    for number, choice in choices.items():
        changes.update(choice.changes(number))
    return _differing(job, changes)


def _differing(job: Job, changes: Changes) -> Changes:
    """Those of the changes that change something: a reading of the same number is the same."""
    return {path: value for path, value in changes.items() if not held(job, path, value)}
