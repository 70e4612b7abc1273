"""BS 7671 522: cable that stands the place it lies in, and a nail where it lies hidden."""

from __future__ import annotations

from ampwright.facts import constant
from ampwright.job.paths import at, unseen
from ampwright.job.record import Job, Rcd, Section
from ampwright.rules.gb.parts.carrying import BURIED
from ampwright.rules.gb.parts.loop import ARMOURED
from ampwright.rules.regulation import Finding, ask, does_not_apply, for_the_designer, regulation, seen, settled
from ampwright.working import Working, capital

ENCLOSED = ("A", "B")
IN_WALL = ("A", "B", "102", "103")
SEES_CABLE = {"circuit.rcd": "at the board", "installation.upstream_rcd": "further up"}
HIDDEN = ("concealed_cable",)
WORDS = {"flat_twin_and_earth": "flat twin and earth", "multicore_70c": "multicore cable",
         "singles_70c": "single cores", "singles_90c": "single cores"}  # fmt: skip


@regulation(asks="Does the cable stand daylight, weather and knocks where it runs out of doors?",
            needs=("route[].cable.kind",))  # fmt: skip
def cable_stands_weather(job: Job) -> Finding:
    """Armoured cable does; others only inside conduit or trunking, and then a person sees to what that is made of."""
    bare = [number for number, section in enumerate(job.route) if _wants_shelter(section)]
    gaps = unseen(job, tuple(f"route[{number}].outdoors" for number in bare))
    out = [job.route[number] for number in bare if job.route[number].outdoors]
    open_air = [section for section in out if section.method is not None and section.method not in ENCLOSED]
    if open_air:
        says = f"{_cable(open_air[0])} runs out of doors with nothing round it: daylight and knocks spoil its sheath."
        return settled(False, f"{says} Use armoured cable, or conduit made for the weather.", Working())
    gaps += unseen(job, tuple(f"route[{number}].method" for number in bare if job.route[number].outdoors))
    if gaps:
        return ask(*gaps)
    if out:
        says = f"{_cable(out[0])} runs out of doors in conduit or trunking"
        return for_the_designer(f"{says}: see that that is made for daylight and weather.", Working())
    if all(seen(section.cable.kind) in ARMOURED for section in job.route):
        return settled(True, "The cable is armoured, which stands the open air.", Working())
    if not bare:
        return does_not_apply("What has no armour is buried: whether it may lie there is judged by what it carries.")
    return does_not_apply("No stretch of cable without armour runs out of doors.")


@regulation(asks="Does an RCD at the origin guard cable that lies hidden in a wall?",
            needs=("route[].cable.kind",))  # fmt: skip
def concealed_cable_guarded(job: Job) -> Finding:
    """Less than 50 mm deep and without earthed metal round it, it wants 30 mA without delay at the board or before.

    An RCD in the charge point does not see the cable. How deep it lies is not in the record: a person looks.
    """
    bare = [(number, section) for number, section in enumerate(job.route) if section.cable.kind not in ARMOURED]
    hidden = [section for _, section in bare if section.method in IN_WALL]
    unlaid = tuple(f"route[{number}].method" for number, section in bare if section.method is None)
    if not hidden and not unlaid:
        plastered = any(section.method == "C" for _, section in bare)
        but = f" Where it is plastered in, it wants an RCD of {_limit_ma():g} mA at the board." if plastered else ""
        return does_not_apply(f"No cable without armour is said to lie inside a wall.{but}")
    guards: list[str] = []
    gaps: list[str] = []
    for path in SEES_CABLE:
        missing = _guard_gaps(job, path)
        gaps += missing or ()
        guards += [path] if missing == () else []
    if guards:
        rcd: Rcd = at(job, guards[0])
        sheet = Working()
        sheet.fact("Idnmax", constant("gb/protection_limits", "additional_protection_to"))
        sheet.given("Idn", seen(rcd.idn_ma), f"the RCD {SEES_CABLE[guards[0]]}")
        says = f"The RCD {SEES_CABLE[guards[0]]} sees the cable and acts at {rcd.idn_ma:g} mA without delay."
        return settled(True, says, sheet, HIDDEN)
    if gaps or not hidden:
        return ask(*gaps, *unlaid)
    says = f"{_cable(hidden[0])} may lie hidden in a wall, and no RCD of {_limit_ma():g} mA without delay sees it"
    says = f"{says}: fit one at the board, unless it lies 50 mm deep throughout or in earthed metal conduit."
    return for_the_designer(says, Working(), HIDDEN)


def _guard_gaps(job: Job, path: str) -> tuple[str, ...] | None:
    """What must be found out before an RCD guards the cable: nothing where it does, None where it cannot."""
    rcd: Rcd = at(job, path)
    if rcd.fitted is False or rcd.delayed or (rcd.idn_ma is not None and rcd.idn_ma > _limit_ma()):
        return None
    if rcd.fitted is None:
        return (f"{path}.fitted",)
    return unseen(job, (f"{path}.idn_ma", f"{path}.delayed"))


def _limit_ma() -> float:
    return constant("gb/protection_limits", "additional_protection_to").value


def _wants_shelter(section: Section) -> bool:
    return seen(section.cable.kind) not in ARMOURED and section.method not in BURIED


def _cable(section: Section) -> str:
    words = WORDS[seen(section.cable.kind)]
    return f"{capital(words)} ({section.name})"
