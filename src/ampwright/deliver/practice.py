"""Practice: an invented installation with a hidden fault; switch things, read the displays, say what is wrong."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from ampwright.assess.sensors.diagnosis import diagnose
from ampwright.assess.sensors.placement import Clamp, clamps
from ampwright.assess.sensors.simulator import Practice
from ampwright.assess.sensors.singleline import LINES
from ampwright.assess.sensors.suspects import Fault
from ampwright.assess.sensors.words import fault_words
from ampwright.deliver.sensors import diagnosis_text
from ampwright.job.record import ChargePoint, Generation, Job, Sensor, SensorReading, Storage, Supply, Tests
from ampwright.reading import measured

ANSWERS = ("right", "turned", "elsewhere", "dead", "low", "high", "voltage")
HELP = """\
  car 32        let the car draw 32 A (car 0 stops it)
  kettle on     a 2.4 kW kettle on L1 (kettle on L2; kettle off)
  inverter off  switch the solar inverter (inverter on)
  wait 10       let ten minutes pass
  read          wait until the figures stand still, and read every display
  ask           what the readings so far say, and which test tells most next
  answer        say what is wrong with each sensor: """ + ", ".join(ANSWERS) + """
  quit          give up and be told"""
KETTLE_KW = 2.4


@dataclass
class Table:
    """A running practice with the readings taken so far, and how to speak and listen."""

    practice: Practice
    say: Callable[[str], None]
    ask: Callable[[str], str]
    readings: list[SensorReading] = field(default_factory=list)

    @property
    def job(self) -> Job:
        """The job with the readings taken so far."""
        return replace(self.practice.job, tests=Tests(sensing=tuple(self.readings)))


def practice_job(phases: int) -> Job:
    """An invented home: a grid sensor a line, a solar sensor, a car of 7.4 kW or of 11 kW."""
    three = phases == 3
    lines = LINES if three else LINES[:1]
    grid = tuple(Sensor(name=f"grid sensor {line}" if three else "grid sensor", watches="grid", line=line)
                 for line in lines)  # fmt: skip
    return Job(
        title="an invented home to practise on", supply=Supply(phases=3 if three else 1),
        generation=Generation(fitted=True, inverter_a=measured(16)), storage=Storage(fitted=False),
        charge_point=ChargePoint(rated_a=16 if three else 32, phases=3 if three else 1),
        sensors=(*grid, Sensor(name="solar sensor", watches="generation")),
    )  # fmt: skip


def play(practice: Practice, say: Callable[[str], None], ask: Callable[[str], str]) -> int:
    """Play until an answer is given or the person quits. Returns 0 if every sensor was judged right, else 1."""
    table = Table(practice, say, ask)
    say("An invented home. At least one sensor may be wrong. On a real job meter tails are live: nothing is clipped or")
    say("moved before it is safe, and what the supplier has sealed stays shut.")
    say(f"What you can do:\n{HELP}")
    while True:
        words = ask("> ").split()
        if words[:1] == ["answer"]:
            return _answered(table)
        if words[:1] == ["quit"]:
            _reveal(table)
            return 1
        wrong = _do(table, words)
        if wrong:
            say(f"{wrong} You can: {', '.join(line.split('  ')[1].strip() for line in HELP.splitlines())}.")


def _do(table: Table, words: list[str]) -> str:
    """Carry out one command; what is wrong with it in words, or nothing."""
    practice = table.practice
    match words:
        case ["car", amps] if amps.replace(".", "", 1).isdecimal() and float(amps) <= 32:
            practice.car_a = float(amps)
        case ["kettle", "on", *line] if line in ([], *([each] for each in practice.tree.lines)):
            practice.known_kw, practice.known_line = KETTLE_KW, practice.tree.lines[0]
            practice.known_line = next((each for each in practice.tree.lines if [each] == line), practice.known_line)
        case ["kettle", "off"]:
            practice.known_kw = 0.0
        case ["inverter", ("on" | "off") as state]:
            practice.inverter_on = state == "on"
        case ["wait", minutes] if minutes.isdecimal() and int(minutes) <= 600:
            practice.wait(60 * int(minutes))
        case ["read"]:
            table.readings.append(practice.read())
            table.say(_reading_text(len(table.readings), table.readings[-1]))
        case ["ask"] if table.readings:
            table.say(diagnosis_text(diagnose(table.job)))
        case ["ask"]:
            return "There are no readings yet; read first."
        case _:
            return f"'{' '.join(words)}' is not understood."
    return ""


def _reading_text(number: int, reading: SensorReading) -> str:
    shown = ", ".join(f"{each.sensor}{f' {each.line}' if each.line else ''} {each.kw:g} kW" for each in reading.shown)
    meter = "" if reading.meter_kw is None else f"; supplier's meter {reading.meter_kw.low:g} kW"
    inverter = "" if reading.inverter_kw is None else f"; inverter's display {reading.inverter_kw.low:g} kW"
    return f"reading {number}, {reading.at}, car {reading.car_a:g} A: {shown}{meter}{inverter}"


def short_answer(fault: Fault) -> str:
    """The one of the answers that a fault stands for: what must be put right first."""
    if fault.other == "dead":
        return "dead"
    if fault.place or fault.line:
        return "elsewhere"
    return "turned" if fault.reversed else "voltage" if fault.channel else fault.gain or "right"


def _answered(table: Table) -> int:
    good = True
    for clamp in clamps(table.practice.job):
        given = ""
        while given not in ANSWERS:
            given = table.ask(f"{clamp.name} ({', '.join(ANSWERS)}): ").strip()
        wanted = short_answer(table.practice.truths[clamp.name].fault)
        good = good and given == wanted
        table.say(f"{clamp.name}: {'yes' if given == wanted else f'no, it is {wanted}'}")
    _reveal(table)
    return 0 if good else 1


def _reveal(table: Table) -> None:
    table.say("The truth:")
    for clamp in clamps(table.practice.job):
        table.say(f"  the {clamp.name} {_truth_words(table, clamp)}")
    if table.readings:
        table.say("What your readings prove:")
        table.say(diagnosis_text(diagnose(table.job)))


def _truth_words(table: Table, clamp: Clamp) -> str:
    truth = table.practice.truths[clamp.name]
    return fault_words(truth.fault, clamp, table.practice.tree, truth.gain_ratio)
