"""How often the diagnosis of sensors is right: faults hidden in the practice installation, tests chosen by the tool.

Usage: python benchmarks/sensors.py [CASES]. The installation is not the inference's own model; `docs/sensors.md` keeps
a run, misses included. Processor time is given as a share of the tenth of a second that a question may take.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections import Counter
from dataclasses import dataclass, field, replace

from ampwright.assess.sensors.chances import chances, likeliest_together
from ampwright.assess.sensors.diagnosis import SURE_RATIO, diagnose
from ampwright.assess.sensors.evidence import Posterior, weigh
from ampwright.assess.sensors.hide import hide
from ampwright.assess.sensors.next_test import next_tests
from ampwright.assess.sensors.session import Session, session
from ampwright.assess.sensors.simulator import Practice
from ampwright.assess.sensors.suspects import Effect
from ampwright.deliver.practice import practice_job
from ampwright.job.record import Job, SensorReading, Tests

WATCHED = {"generation": "solar", "grid": "grid", "storage": "battery", "car": "car"}
KINDS = ("right", "turned", "elsewhere", "dead", "low", "high", "none of these")
ALLOWED_S = 0.1


@dataclass
class Score:
    """Counts over many cases."""

    cases: int = 0
    right: int = 0
    sure: int = 0
    wrong_when_sure: int = 0
    tests: list[int] = field(default_factory=list)
    question_s: list[float] = field(default_factory=list)
    confusion: Counter[tuple[str, str]] = field(default_factory=Counter)
    sensors_sure: int = 0
    sensors: int = 0
    sensors_wrong_when_sure: int = 0
    faults: int = 0
    faults_found: int = 0
    missed: Counter[str] = field(default_factory=Counter)
    minutes: list[float] = field(default_factory=list)


def kind(effect: Effect) -> str:
    """One word for an effect."""
    if effect.other:
        return "dead" if effect.other == "dead" else "none of these"
    if effect.place or effect.line:
        return "elsewhere"
    return effect.size or ("turned" if effect.turned else "right")


def one_case(job: Job, seed: int, most: int, meters: bool, score: Score, *, faulty: bool = True,
             quickest: bool = False) -> None:  # fmt: skip
    """Hide a fault, take at most so many tests: each the one that tells most in all, or most in a minute, which is the
    first that the tool lists."""
    home = hide(job, seed, faulty=faulty)
    home.meters_read = meters
    home.car_a = job.charge_point.rated_a or 32.0
    taken: list[SensorReading] = []
    started_s = home.now_s
    while True:
        taken.append(home.read())
        so_far = replace(job, tests=Tests(sensing=tuple(taken)))
        start = time.process_time()
        diagnose(so_far)  # all that an electrician waits for
        score.question_s.append(time.process_time() - start)
        here = session(so_far)
        posterior = weigh(here.house, here.witnesses)
        effects, together = likeliest_together(here, posterior)
        unexplained = any(each.other == "unexplained" for each in effects)
        sure = together > SURE_RATIO and not unexplained
        if sure or len(taken) == most:
            break
        tests = next_tests(here, posterior)
        slot = tests[0].slot if quickest else max(tests, key=lambda each: each.expected_bits_count).slot
        if slot.waits_for_kw:
            home.wait_for_sun(slot.waits_for_kw)
        home.car_a, home.known_kw, home.inverter_on = slot.car_a or 0.0, slot.known_kw, slot.sunny
        home.known_line = next(line for line in here.tree.lines if line == slot.known_line)
    truth = true_effects(here, home)
    score.cases += 1
    score.minutes.append((home.now_s - started_s) / 60)
    score.tests.append(len(taken))
    score.right += effects == truth
    score.sure += sure
    score.wrong_when_sure += sure and effects != truth
    for number, wanted in enumerate(truth):
        one_sensor(here, posterior, number, wanted, score)


def one_sensor(here: Session, posterior: Posterior, number: int, wanted: Effect, score: Score) -> None:
    """Count what was found of one sensor."""
    effect, chance = next(iter(chances(posterior, number).items()))
    certain = chance > SURE_RATIO and effect.other != "unexplained"
    found = certain and effect == wanted
    score.sensors += 1
    score.sensors_sure += certain
    score.sensors_wrong_when_sure += certain and effect != wanted
    score.confusion[kind(wanted), kind(effect)] += 1
    if wanted != Effect():
        score.faults += 1
        score.faults_found += found
        score.missed[f"{WATCHED[here.clamps[number].sensor.watches]} sensor {kind(wanted)}"] += not found


def true_effects(here: Session, home: Practice) -> tuple[Effect, ...]:
    """What the hidden faults show as, with the car and the inverter on the lines where they really are."""
    world = next(each for each in here.house.worlds
                 if (each.solar_lines, each.car_lines) == (home.solar_lines, home.car_lines))  # fmt: skip
    return tuple(next(each.effect_in(world) for each in witness.suspects if each.fault == home.truths[clamp.name].fault)
                 for witness, clamp in zip(here.witnesses, here.clamps, strict=False))  # fmt: skip


def table(title: str, score: Score) -> str:
    """The counts in Markdown."""
    share = [100 * count / score.cases for count in (score.right, score.sure, score.wrong_when_sure)]
    tests = Counter(score.tests)
    used = ", ".join(f"{count} tests {100 * tests[count] / score.cases:.0f} %" for count in sorted(tests))
    slow = [each / ALLOWED_S for each in statistics.quantiles(score.question_s, n=20)]
    missed = "; ".join(f"{name} {count}" for name, count in score.missed.most_common() if count)
    faults = (f"Of {score.faults} hidden faults: found and 99 % sure {100 * score.faults_found / score.faults:.1f} %; "
              f"missed or not sure: {missed}. " if score.faults else "")  # fmt: skip
    lines = [
        f"### {title}", "",
        f"{score.cases} homes. All sensors right together {share[0]:.1f} %; 99 % sure of all {share[1]:.1f} %, "
        f"sure and wrong {share[2]:.2f} %. Of {score.sensors} sensors one by one: 99 % sure "
        f"{100 * score.sensors_sure / score.sensors:.1f} %, sure and wrong "
        f"{100 * score.sensors_wrong_when_sure / score.sensors:.2f} %. {faults}Used {used}, in "
        f"{statistics.median(score.minutes):.0f} minutes (median). A question takes {slow[9]:.2f} of the time allowed "
        f"(median), {slow[18]:.2f} (one in twenty takes longer).", "",
        "| hidden, and found as | " + " | ".join(KINDS) + " |", "|---" * (len(KINDS) + 1) + "|",
    ]  # fmt: skip
    lines += [f"| {wanted} | " + " | ".join(str(score.confusion[wanted, found]) for found in KINDS) + " |"
              for wanted in KINDS[:-1]]  # fmt: skip
    return "\n".join(lines) + "\n"


def main() -> None:
    """Print the tables."""
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    both = "with the supplier's meter and the inverter's display"
    runs = ((f"One phase, two sensors, {both}", 1, 3, True, cases, True, False),
            ("One phase, two sensors, nothing else read", 1, 3, False, cases // 2, True, False),
            ("One phase, nothing wrong, with both displays", 1, 3, True, cases // 2, False, False),
            ("One phase with both displays, the quickest test each time", 1, 3, True, cases // 2, True, True),
            ("Three phases, four sensors, with both displays", 3, 4, True, cases, True, False),
            ("Three phases, the quickest test each time", 3, 4, True, cases // 4, True, True))  # fmt: skip
    for title, phases, most, meters, count, faulty, quickest in runs:
        score = Score()
        for seed in range(count):
            one_case(practice_job(phases), seed, most, meters, score, faulty=faulty, quickest=quickest)
        print(table(f"{title}, at most {most} tests", score), flush=True)


if __name__ == "__main__":
    main()
