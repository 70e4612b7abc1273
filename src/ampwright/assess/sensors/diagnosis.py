"""Which sensor is wrong and how: chances, sentences, reasons, and what to try next."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Literal

from ampwright.assess.sensors.balance import moved_lines, notes_on_rounding
from ampwright.assess.sensors.chances import chances, likeliest_together, together
from ampwright.assess.sensors.evidence import Posterior, weigh
from ampwright.assess.sensors.house_model import Slot, bright_kw
from ampwright.assess.sensors.next_test import Test, next_tests
from ampwright.assess.sensors.placement import cautions
from ampwright.assess.sensors.reasons import impossible, reason
from ampwright.assess.sensors.session import Session, session, step_kw
from ampwright.assess.sensors.still import never_moved, nothing_switched, still_words
from ampwright.assess.sensors.suspects import Effect, Fault
from ampwright.assess.sensors.words import effect_words, fault_words, percent, slot_words
from ampwright.job.record import Job

SURE_RATIO, SHOWN_RATIO, FITS_RATIO = 0.99, 0.02, 0.001
MOST_TESTS_COUNT = 3
WORTH_BITS_COUNT = 0.01
TELLING_RATIO = 0.9  # our own choice: below it readings at which nothing was switched name no fault
IDLE = {
    "generation": "the panels gave nothing at any of the readings. Come back in daylight, with the inverter running.",
    "storage": "the battery stood idle at all of the readings. Let it charge or give, and read again.",
    "car": "the car drew nothing at any of the readings. Let it charge, and read again.",
}
NO_LIGHT_TOLD = ("it showed nothing and nobody noted whether it was dark. Say so, or read the inverter's display at the"
                 " same moments.")  # fmt: skip
Says = Literal["right", "wrong", "not yet known", "cannot be judged", "none of these"]


@dataclass(frozen=True, slots=True)
class Cause:
    """One thing that a sensor may be doing, with its chance among everything."""

    words: str
    chance_ratio: float


@dataclass(frozen=True, slots=True)
class SensorFinding:
    """One sensor: the answer, its chance, the causes that remain, and the reasons."""

    sensor: str
    answer: Says
    effect: Effect
    chance_ratio: float
    sentence: str
    causes: tuple[Cause, ...]
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ProofStep:
    """How sure it is, after each reading since the repair, that every sensor is right."""

    reading: int
    words: str
    right_ratio: float


@dataclass(frozen=True, slots=True)
class NextTest:
    """A test to take next, in words, with the bits of doubt that it should remove, and the moment to arrange."""

    words: str
    takes_min: float
    expected_bits_count: float
    slot: Slot


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """Everything that the readings say. `fits_ratio` is the chance of readings as far off as these if the likeliest
    answer were true.
    """

    sensors: tuple[SensorFinding, ...]
    fits_ratio: float
    together_ratio: float
    changed: str
    proof: tuple[ProofStep, ...]
    notes: tuple[str, ...]
    next_tests: tuple[NextTest, ...]
    cautions: tuple[str, ...]

    @property
    def exit_status(self) -> int:
        """1 if a sensor is surely wrong, else 2 if anything is open, else 0."""
        answers = {each.answer for each in self.sensors}
        if "wrong" in answers:
            return 1
        return 0 if answers == {"right"} else 2


def diagnose(job: Job) -> Diagnosis:
    """Judge every sensor by the readings since something was last put right.

    Raises BadReadings or BadSingleLine, with all that is wrong, if they cannot be judged.
    """
    here = session(job)
    posterior = weigh(here.house, here.witnesses)
    fits_ratio = _fits(posterior)
    findings = _findings(here, posterior, fits_ratio)
    sure = all(each.answer in ("right", "wrong", "cannot be judged") for each in findings)
    tests = () if sure and not any(each.answer == "wrong" for each in findings) else next_tests(here, posterior)
    return Diagnosis(
        findings, fits_ratio, likeliest_together(here, posterior)[1], here.readings[0].changed or "", _proof(job, here),
        tuple(_notes(here, posterior, findings, fits_ratio)), () if sure else _worth(here, tests),
        cautions(job),
    )  # fmt: skip


def _fits(posterior: Posterior) -> float:
    from scipy.special import gammaincc  # slow to bring in, and only a diagnosis wants it

    readings = sum(len(each.at) for each in posterior.witnesses)
    return float(gammaincc(readings / 2, posterior.misfit[0] / 2)) if readings else 1.0


def _findings(here: Session, posterior: Posterior, fits_ratio: float) -> tuple[SensorFinding, ...]:
    found = [chances(posterior, number) for number in range(len(here.clamps))]
    right = [each.get(Effect(), 0.0) > SURE_RATIO for each in found]
    believed = tuple(number for number, each in enumerate(right) if each)
    return tuple(_finding(here, posterior, number, effects, fits_ratio, believed)
                 for number, effects in enumerate(found))  # fmt: skip


def _finding(here: Session, posterior: Posterior, number: int, effects: dict[Effect, float], fits_ratio: float,
             believed: tuple[int, ...]) -> SensorFinding:  # fmt: skip
    effect, chance_ratio = next(iter(effects.items()))
    answer = _answer(here, number, effect, chance_ratio, fits_ratio)
    causes = _causes(here, posterior, number)
    reasons = []
    if answer in ("right", "wrong", "not yet known"):
        reasons = [reason(here, posterior, number, right=effect == Effect())]
        if effect != Effect():
            reasons.append(impossible(here, posterior, number, believed))
    sentence = _sentence(here, number, answer, effect, chance_ratio, causes)
    return SensorFinding(here.clamps[number].name, answer, effect, chance_ratio, sentence, causes,
                         tuple(each for each in reasons if each))  # fmt: skip


def _answer(here: Session, number: int, effect: Effect, chance_ratio: float, fits_ratio: float) -> Says:
    at = here.witnesses[number].at
    if not at or ((chance_ratio <= SURE_RATIO or not effect.place) and not _worked(here, number)):
        return "cannot be judged"
    if effect.other == "unexplained" or fits_ratio < FITS_RATIO:
        return "none of these"
    if chance_ratio <= SURE_RATIO or never_moved(here, number):
        return "not yet known"
    return "right" if effect == Effect() else "wrong"


def _worked(here: Session, number: int) -> bool:
    """Whether what a sensor watches did anything at one of its readings at least."""
    at = here.witnesses[number].at
    watches = here.clamps[number].sensor.watches
    return any({"generation": here.slots[place].sunny, "storage": not here.slots[place].battery_idle,
                "car": here.slots[place].car_a != 0}.get(watches, True) for place in at) and not unlit(here, number)


def unlit(here: Session, number: int) -> bool:
    """Whether a solar sensor showed nothing and nobody said that it was light: a dead one and dusk look alike."""
    clamp, witness = here.clamps[number], here.witnesses[number]
    told = [here.readings[place] for place in witness.at]
    return (clamp.sensor.watches == "generation" and max(map(abs, witness.shown_kw), default=0.0) <= step_kw(clamp)
            and all(each.dark is None and each.inverter_kw is None for each in told))  # fmt: skip


def _causes(here: Session, posterior: Posterior, number: int) -> tuple[Cause, ...]:
    """What one sensor may be doing, most likely first, faults with the same words taken together."""
    clamp = here.clamps[number]
    suspects, chance = posterior.witnesses[number].suspects, posterior.of(number)
    low = [(abs(each.gain_ratio), float(part)) for each, part in zip(suspects, chance, strict=True)
           if each.fault.gain == "low"]  # fmt: skip
    weight = sum(part for _, part in low)
    gain = sum(gain * part for gain, part in low) / weight if weight else 0.5
    found: dict[str, float] = defaultdict(float)
    for world, suspect, part in posterior.shares(number):
        right = suspect.effect_in(posterior.house.worlds[world]) == Effect()
        found[fault_words(Fault() if right else suspect.fault, clamp, here.tree, gain)] += part
    ranked = sorted(found.items(), key=lambda each: -each[1])
    return tuple(Cause(words, part) for words, part in ranked if part > SHOWN_RATIO)


def _sentence(here: Session, number: int, answer: Says, effect: Effect, chance_ratio: float,
              causes: tuple[Cause, ...]) -> str:  # fmt: skip
    clamp = here.clamps[number]
    name = f"the {clamp.name}"
    if answer == "cannot be judged":
        return f"{name} cannot be judged: {_why_not(here, number)}"
    if answer == "none of these":
        return f"{name}: none of the listed faults fits the readings. Read again with nothing else being switched."
    if answer == "not yet known" and chance_ratio < TELLING_RATIO and nothing_switched(here, number):
        return f"{name} cannot be told from these readings: nothing was switched between them"
    if causes and causes[0].chance_ratio > 0.9 * chance_ratio:
        words = causes[0].words
    else:
        words = effect_words(effect, clamp) if effect.other == "" else causes[0].words
    doubt = "" if answer in ("right", "wrong") else "; not yet sure"
    if answer == "right" and not sized(here, number):
        words = f"{words} in place and direction, its size not yet held against a meter"
    return f"{name} {words}: {percent(chance_ratio)}{doubt}"


def _why_not(here: Session, number: int) -> str:
    if not here.witnesses[number].at:
        return "none of the readings has a figure of it."
    return NO_LIGHT_TOLD if unlit(here, number) else IDLE[here.clamps[number].sensor.watches]


def sized(here: Session, number: int) -> bool:
    """Whether something better than the car's own display bears on the size of what a sensor shows."""
    readings = [here.readings[place] for place in here.witnesses[number].at]
    solar = here.clamps[number].sensor.watches == "generation"
    return any((each.inverter_kw if solar else each.meter_kw) is not None for each in readings)


def _proof(job: Job, here: Session) -> tuple[ProofStep, ...]:
    if not here.readings[0].changed:
        return ()
    steps = []
    for place, number in enumerate(here.numbers):
        so_far = session(job, number)
        posterior = weigh(so_far.house, so_far.witnesses)
        chance_ratio = together(so_far, posterior).get((Effect(),) * len(here.clamps), 0.0)
        words = slot_words(here.slots[place], here.slots[place - 1] if place else None)
        steps.append(ProofStep(number, words, chance_ratio))
    return tuple(steps)


def _worth(here: Session, tests: tuple[Test, ...]) -> tuple[NextTest, ...]:
    """The quickest to tell, and last the one that tells most in all, however long it takes."""
    some = [each for each in tests if each.expected_bits_count > WORTH_BITS_COUNT]
    worth = some[:MOST_TESTS_COUNT]
    most = max(some, key=lambda each: each.expected_bits_count, default=None)
    worth += [most] if most is not None and most not in worth else []
    return tuple(NextTest(slot_words(each.slot) + _resting(here, each.slot), each.takes_min, each.expected_bits_count,
                          each.slot) for each in worth)  # fmt: skip


def _resting(here: Session, slot: Slot) -> str:
    """A battery that is free makes up for what is switched, so that it is to rest is said every time."""
    return " and the battery idle" if slot.battery_idle and here.job.storage.fitted else ""


def _notes(here: Session, posterior: Posterior, findings: tuple[SensorFinding, ...], fits_ratio: float) -> list[str]:
    notes = [f"Assumed: {each}." for each in here.tree.assumed]
    if here.before:
        notes.append(f"The {len(here.before)} reading(s) before '{here.readings[0].changed}' no longer count.")
    if any(draw == "battery" for draw, _, _ in here.house.parts) and not all(each.battery_idle for each in here.slots):
        notes.append("The battery was free to work at some readings and may have made up for what you switched: set it "
                     "to idle and read again.")  # fmt: skip
    if fits_ratio < FITS_RATIO:
        notes.append("Even the likeliest answer leaves readings that would come less than once in a thousand times: "
                     "something is at work that is not listed here.")  # fmt: skip
    open_solar = any(each.answer == "not yet known" and clamp.sensor.watches == "generation"
                     for each, clamp in zip(findings, here.clamps, strict=True))  # fmt: skip
    if open_solar and not any(each.inverter_kw for each in here.readings):
        notes.append("Read the inverter's own display at the same moments as well: without it the size of what the "
                     "solar sensor shows can hardly be judged.")  # fmt: skip
    last_kw = here.readings[-1].inverter_kw
    if open_solar and last_kw is not None and 0 < last_kw.high < bright_kw(here.job):
        notes.append(f"The inverter gives {last_kw.high:g} kW: too little to judge the size of what the solar "
                     f"sensor shows. Read again once it gives {bright_kw(here.job):.1f} kW or more.")  # fmt: skip
    notes += moved_lines(here, posterior)
    notes += [words for number, each in enumerate(findings) if each.answer in ("wrong", "not yet known")
              if (words := still_words(here, number))]  # fmt: skip
    sure_right = tuple(number for number, each in enumerate(findings) if each.answer == "right")
    return [*notes, *notes_on_rounding(here, sure_right)]
