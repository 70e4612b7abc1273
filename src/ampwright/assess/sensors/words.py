"""What is wrong with a sensor, and how one can tell, in sentences."""

from __future__ import annotations

from ampwright.assess.sensors.house_model import Slot
from ampwright.assess.sensors.placement import ARROWS, Clamp
from ampwright.assess.sensors.singleline import HOME_OF, SingleLine
from ampwright.assess.sensors.suspects import Effect, Fault

STILL_KW = 0.05


def percent(chance_ratio: float) -> str:
    """A probability, never as a certainty: 99.97 % is "over 99.9 %"."""
    if chance_ratio > 0.999:
        return "over 99.9 %"
    return "under 0.1 %" if chance_ratio < 0.001 else f"{100 * chance_ratio:.1f} %"


def fault_words(fault: Fault, clamp: Clamp, tree: SingleLine, gain_ratio: float) -> str:
    """What a sensor does, to follow its name: "faces the wrong way"."""
    if fault.right:
        return "is right"
    if fault.other:
        return {
            "dead": "reads nothing: its lead is off or broken, or its jaws hold line and neutral together or a whole "
                    "cable",
            "unexplained": "shows figures that none of the listed faults explains",
        }[fault.other]  # fmt: skip
    if fault.channel and fault.line == fault.channel and not (fault.place or fault.reversed or fault.gain):
        return f"shows {fault.line}: its name or its lead is swapped with another sensor's"
    return " and ".join([*_where(fault, clamp, tree), *_how_much(fault, gain_ratio)])


def _where(fault: Fault, clamp: Clamp, tree: SingleLine) -> list[str]:
    arrow = ARROWS[clamp.sensor.watches]
    if not fault.place and not fault.line:
        if not fault.reversed:
            return []
        shared = len(tree.stretch(HOME_OF[clamp.sensor.watches]).lines) > 1
        return ["faces the wrong way" + ("" if shared else " (or is round the neutral, which reads the same)")]
    stretch = tree.stretch(fault.place or HOME_OF[clamp.sensor.watches])
    conductor = {"N": "the neutral", "": "the line"}.get(fault.line, f"the {fault.line}")
    to_meter = (clamp.sensor.watches in ("generation", "storage")) != fault.reversed
    way = "towards the meter" if to_meter else "away from the meter"
    return [f"is round {conductor} conductor of {stretch.words} with its arrow {way} (it should point {arrow})"]


def _how_much(fault: Fault, gain_ratio: float) -> list[str]:
    words = []
    if fault.gain == "low":
        words.append(f"reads about {gain_ratio:.1f} of the truth (jaws not shut, or a wrong ratio set)")
    if fault.gain == "high":
        words.append("reads about double (a wrong ratio set)")
    if fault.channel:
        words.append(f"is paired with the voltage of {fault.channel}")
    return words


def effect_words(effect: Effect, clamp: Clamp) -> str:
    """The effect that several causes share, to follow the sensor's name."""
    place = "is round the wrong conductor and " if effect.place or effect.line else ""
    size = {"low": "less than that carries", "high": "about double what that carries"}
    way = "with the wrong sign, " if effect.turned else ""
    plain = "what that carries" if place else "what its conductor carries"
    return f"{place}shows {way}{size.get(effect.size, plain)}"


def slot_words(slot: Slot, before: Slot | None = None) -> str:
    """A moment in words; after another one, only what is different."""
    parts = []
    if before is None or slot.car_a != before.car_a:
        parts.append("the car stopped" if slot.car_a == 0 else "the car at whatever it drew" if slot.car_a is None
                     else f"the car at {slot.car_a:g} A")  # fmt: skip
    if before is None or (slot.known_kw, slot.known_line) != (before.known_kw, before.known_line):
        if slot.known_kw:
            parts.append(f"the kettle on ({slot.known_kw:g} kW, {slot.known_line})")
        elif before is not None:
            parts.append("the kettle off")
    if before is not None and slot.sunny != before.sunny:
        parts.append("the inverter running" if slot.sunny else "the inverter off")
    elif before is None and not slot.sunny:
        parts.append("the inverter off or no sun")
    if slot.waits_for_kw:
        parts.insert(0, f"once the inverter's display gives {slot.waits_for_kw:.1f} kW or more")
    if before is not None and slot.battery_idle != before.battery_idle:
        parts.append("the battery idle" if slot.battery_idle else "the battery free")
    return " and ".join(parts) if parts else "nothing changed"


def moved(kw: float, *, should: bool) -> str:
    """A change of a figure: "risen by 7.4" after "should have", else "rose by 7.4"."""
    if abs(kw) < STILL_KW:
        return "stayed as it was"
    verb = ("risen", "fallen") if should else ("rose", "fell")
    return f"{verb[1] if kw < 0 else verb[0]} by {abs(kw):.1f}"
