"""The questions on the signal: what happens when it is lost, how soon it acts, and whether it may go by radio."""

from __future__ import annotations

from ampwright.assess.load_cap.chain import CAP, exact, grid_sensors, in_words
from ampwright.assess.load_cap.reckoning import (
    LONGEST_WATCHDOG_S,
    attack_gaps,
    car_lines,
    falls_back_to_a,
    longest_watchdog_s,
    supply_gaps,
    worst_line,
)
from ampwright.assess.load_cap.size import size_proved
from ampwright.assess.load_cap.supply import LIMITS, limit
from ampwright.assess.sensors.diagnosis import diagnose
from ampwright.assess.sensors.session import BadReadings
from ampwright.assess.sensors.singleline import BadSingleLine
from ampwright.facts import constant
from ampwright.job.paths import unseen
from ampwright.job.record import Job
from ampwright.reading import BEST, WORST, End
from ampwright.rules.gb.parts.demand import as_known, where, within
from ampwright.rules.gb.parts.recorded import larger_demands
from ampwright.rules.regulation import (
    Finding,
    ask,
    does_not_apply,
    for_the_designer,
    regulation,
    seen,
    settled,
    weigh,
)
from ampwright.working import Working, capital, down, up

LEAD = ("sensor_lead",)
FALLBACK, WATCHDOG = f"{CAP}.fallback_a", f"{CAP}.watchdog_s"
RESPONSE, MESSAGE = f"{CAP}.response_s", f"{CAP}.message_every_s"


@regulation(asks="With the signal lost, is the fallback current no more than the house leaves?", needs=(FALLBACK,))
def fallback_current(job: Job) -> Finding:
    """What may flow for hours, less the house at its maximum demand; below the least that a car may be given, none."""
    if job.charge_point.load_cap.fails_safe is False:
        return settled(False, "It does not fall back when its signal is lost: the car goes on charging.", Working())
    gaps = (*supply_gaps(job), *unseen(job, (f"{CAP}.fails_safe",)))
    if gaps:
        return ask(*gaps)
    sheet = Working()
    left_a, line = _left_a(job, WORST, sheet)
    best_left_a, _ = _left_a(job, BEST, Working())
    set_a, back_a = exact(job, FALLBACK), falls_back_to_a(job)
    least_a = constant(LIMITS, "car_least").value
    sheet.given("Ifb", back_a, "the charge point's setting" if back_a == set_a else "the least a car can be told")
    most = f"set no more than {down(left_a, 0)} A" if left_a >= least_a else "set 0 A: it must stop"
    counted = "" if back_a == set_a else f", counted as {back_a:g} A, the least that a car can be told"
    says = f"The house leaves {down(left_a, 1)} A{where(job, line)}; it falls back to {set_a:g} A{counted}."
    if not within(back_a, left_a):
        says = f"{says} {capital(most)}."
    finding = weigh(best=within(back_a, best_left_a), worst=within(back_a, left_a), says=says, sheet=sheet,
                    cautions=LEAD)  # fmt: skip
    return as_known(job, finding, smaller_hurts=True)


def _left_a(job: Job, end: End, sheet: Working) -> tuple[float, str]:
    """What the house leaves for hours on the line of the car with least, and that line."""
    demands = {each.line: each for each in larger_demands(job, end, sheet)}
    left = []
    for line in car_lines(job):
        tag = f"_{line[1]}" if job.supply.phases == 3 else ""
        may_a = limit(job, line, end, sheet).true_a
        sheet.heading(f"What the house leaves{where(job, line)}")
        left.append((sheet.step(f"Ileft = max(0, Itrue - Ihouse{tag})", max(0.0, may_a - demands[line].house_a)), line))
    return min(left)


@regulation(asks="Does the car let go soon enough when the signal is lost?")
@in_words
def watchdog_time(job: Job) -> Finding:
    """Against the longest watchdog with which the cap stands, and the longest time that a limit may be passed."""
    if job.charge_point.load_cap.fails_safe is False:
        return settled(False, "It has no watchdog that works: nothing brings the car down.", Working())
    gaps = attack_gaps(job)
    if gaps:
        return ask(*gaps)
    sheet = Working()
    cap = job.charge_point.load_cap
    watchdog_s = sheet.given("twd", seen(cap.watchdog_s), "the charge point's setting")
    response_s = sheet.given("tresp", seen(cap.response_s), "the charge point's data, or timed")
    back_s = sheet.step("tback = twd + tresp", watchdog_s + response_s)
    most = constant(LIMITS, "respond_most")
    line = worst_line(job, True)
    longest_s = None if line.by_errors_a is None else longest_watchdog_s(line, line.stands_a or line.by_errors_a)
    if longest_s is None:
        return settled(False, "No watchdog, however short, makes a load cap stand as this is set.", sheet)
    fuse_s = f"{longest_s} s" if longest_s < LONGEST_WATCHDOG_S else f"{LONGEST_WATCHDOG_S} s and more"
    says = (f"With the signal lost the car lets go after {up(back_s, 0)} s; a limit is to be restored within"
            f" {most.value:g} s ({most.where}). For fuse and tails a watchdog of {fuse_s} would do.")  # fmt: skip
    return settled(watchdog_s <= longest_s and within(back_s, most.value), says, sheet, LEAD)


@regulation(asks="Is a load that comes on answered in time?", needs=(RESPONSE, MESSAGE))
def time_to_restore(job: Job) -> Finding:
    """One reading's time and the response, against what the operators' recommendation calls typical and longest."""
    sheet = Working()
    cap = job.charge_point.load_cap
    message_s = sheet.given("tmsg", seen(cap.message_every_s), "the sensor's data")
    response_s = sheet.given("tresp", seen(cap.response_s), "the charge point's data, or timed")
    back_s = sheet.step("tback = tmsg + tresp", message_s + response_s)
    typical, most = constant(LIMITS, "respond_typical"), constant(LIMITS, "respond_most")
    says = (f"The car gives way {up(back_s, 0)} s after a load comes on; {typical.value:g} s is typical and"
            f" {most.value:g} s the longest allowed where the operator sets a limit ({most.where}).")  # fmt: skip
    if within(typical.value, back_s) and within(back_s, most.value) and back_s > typical.value:
        return for_the_designer(f"{says} It is slower than is typical: ask the operator.", sheet)
    return settled(within(back_s, most.value), says, sheet)


@regulation(asks="Will the way the supply's sensor talks to the charge point do, by wire or by radio?")
@in_words
def wired_or_radio(job: Job) -> Finding:
    """By radio: the load cap no higher than the trade trusts it with, and never without a fallback."""
    numbers = [number for number, _ in grid_sensors(job)]
    gaps = unseen(job, tuple(f"sensors[{number}].link" for number in numbers)) if numbers else ("sensors",)
    if gaps:
        return ask(*gaps)
    sheet = Working()
    if all(job.sensors[number].link == "wired" for number in numbers):
        return settled(True, "By wire: it serves at any load cap. Twist the pair, and keep it off the car's cable.",
                       sheet)  # fmt: skip
    trusted = constant(LIMITS, "radio_to")
    said = radio_words()
    set_a = job.charge_point.load_cap.limit_a
    if job.charge_point.load_cap.fails_safe is False:
        return settled(False, "Radio without a fallback is not trusted: a lost reading goes unseen.", sheet)
    if set_a is None:
        return settled(True, f"By radio, up to a load cap of {trusted.value:g} A: {said}; a wire serves at any.", sheet)
    sheet.given("Ccap", set_a, "the load cap")
    if not within(set_a, trusted.value):
        return settled(False, wants_wire(set_a), sheet)
    return settled(True, f"At {set_a:g} A radio will do: {said}.", sheet)


def radio_words() -> str:
    """What radio is trusted with."""
    trusted = constant(LIMITS, "radio_to")
    return f"radio is trusted for limiting to about {trusted.value:g} A ({trusted.where})"


def wants_wire(set_a: float) -> str:
    """What is said of a setting that is more than radio is trusted with."""
    return f"A load cap of {set_a:g} A wants a wire: {radio_words()}."


@regulation(asks="Do enough of the supply sensor's readings arrive?")
@in_words
def readings_arrive(job: Job) -> Finding:
    """Range and walls are judged by what arrives: no figure of a data sheet knows this house. A wire loses none."""
    numbers = [number for number, _ in grid_sensors(job)]
    radio = [number for number in numbers if job.sensors[number].link == "radio"]
    gaps = unseen(job, (*(f"sensors[{number}].link" for number in numbers),
                        *(f"sensors[{number}].lost_percent" for number in radio)))  # fmt: skip
    if gaps or not numbers:
        says = "By radio, range and walls are judged by counting what arrives, in its place."
        return ask(*(gaps or ("sensors",)), says=says)
    lost_percent = max(job.sensors[number].lost_percent or 0.0 for number in numbers)
    allowed = constant(LIMITS, "lost_most")
    mend = " Find the fault in the lead." if not radio else " Move it, or run a wire."
    says = (f"{lost_percent:g} % of the readings are lost; the load cap is proved with {allowed.value:g} %."
            f"{'' if within(lost_percent, allowed.value) else mend}")  # fmt: skip
    if not radio and all(job.sensors[number].lost_percent is None for number in numbers):
        says = f"They come by wire and none is known to be lost; the load cap is proved with {allowed.value:g} %."
    return settled(within(lost_percent, allowed.value), says, Working())


@regulation(asks="Do the readings taken on site bear out that the supply's sensor is right?")
def sensor_proved(job: Job) -> Finding:
    """By the diagnosis of the test sequence: no load cap holds behind a sensor that faces the wrong way."""
    if not job.tests.sensing:
        return ask("tests.sensing", says="No readings yet: take the test sequence before the load cap is relied on.")
    try:
        found = {each.sensor: each for each in diagnose(job).sensors}
    except (BadReadings, BadSingleLine) as bad:
        return for_the_designer(f"The readings cannot be judged: {bad}", Working(), LEAD)
    grid = [found[sensor.name] for _, sensor in grid_sensors(job) if sensor.name in found]
    wrong = [each for each in grid if each.answer == "wrong"]
    if wrong:
        says = f"{capital(wrong[0].sentence)}. Until that is put right and read again the load cap holds nothing."
        return settled(False, says, Working(), LEAD)
    unsure = [each for each in grid if each.answer != "right"]
    if unsure or not grid:
        says = capital(unsure[0].sentence) if unsure else "None of the readings is of a sensor at the supply"
        return ask("tests.sensing", says=f"{says.rstrip('.')}. `ampwright diagnose` says which reading to take next.")
    return size_proved(job, f"{capital('; '.join(each.sentence for each in grid))}.")


@regulation(asks="Will radio do for the solar sensor?", needs=("generation.fitted",))
def solar_by_radio(job: Job) -> Finding:
    """It steers how much sun the car takes and protects no fuse: by radio below the current that the trade trusts."""
    numbers = [number for number, sensor in enumerate(job.sensors) if sensor.watches == "generation"]
    if not job.generation.fitted or not numbers:
        return does_not_apply("No sensor watches generation.")
    gaps = unseen(job, (*(f"sensors[{number}].link" for number in numbers), "generation.inverter_a"))
    if gaps:
        return ask(*gaps)
    if all(job.sensors[number].link == "wired" for number in numbers):
        return settled(True, "It is wired.", Working())
    inverter, below = seen(job.generation.inverter_a), constant(LIMITS, "radio_solar_below")
    says = (f"The inverter gives up to {inverter.high:g} A; radio is trusted below {below.value:g} A ({below.where})."
            " The load cap does not rest on it.")  # fmt: skip
    return weigh(best=inverter.low < below.value, worst=inverter.high < below.value, says=says, sheet=Working())
