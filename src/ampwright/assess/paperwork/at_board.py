"""Loop and fault current at a board that the meter tails feed: reckoned, so that nobody need work live."""

from __future__ import annotations

from ampwright.assess.paperwork.desk import Desk, Fill, Filled, from_paths, stated
from ampwright.facts import NoRow, constant, look_up
from ampwright.job.record import Job
from ampwright.physics.conductors import resistance_ohm
from ampwright.physics.faults import loop_ohm
from ampwright.reading import Reading
from ampwright.working import up

COLD_C = 20
COPPER = "iec/copper_resistance"
INPUTS = ("supply.ze_ohm", "supply.tails.size_mm2", "supply.tails.length_m", "supply.earthing_conductor_mm2",
          "supply.earthing_conductor_metal")  # fmt: skip


def board_loop(desk: Desk, _: str) -> Filled:
    """As measured; else Ze with the tail and as much of the earthing conductor on top of it."""
    if desk.job.tests.board_zs_ohm is not None:
        return from_paths(desk, "tests.board_zs_ohm")
    if not at_origin(desk.job) or not all(stated(desk.job, path) for path in INPUTS):
        return Filled(None, ("tests.board_zs_ohm",))
    value_ohm = _reckoned_ohm(desk.job)
    words = None if value_ohm is None else f"{up(value_ohm)} Ω, by calculation: Ze and the tails"
    return Filled(words, (*INPUTS, "circuit.fed_from"))


def board_fault_current(desk: Desk, _: str) -> Filled:
    """As measured; else no more than at the origin."""
    if desk.job.tests.board_pfc_ka is not None:
        return from_paths(desk, "tests.board_pfc_ka")
    origin = desk.job.supply.pfc_ka
    if not at_origin(desk.job) or origin is None:
        return Filled(None, ("tests.board_pfc_ka",))
    return Filled(f"at most {origin.high:g} kA, as at the origin", ("supply.pfc_ka", "circuit.fed_from"))


def at_origin(job: Job) -> bool:
    """Whether the tails run straight to the board, on an earth that comes with the supply."""
    boards = [point for point in job.installation.points if point.kind == "board"]
    return job.supply.earthing in ("TN-C-S", "TN-S") and job.circuit.fed_from is None and len(boards) <= 1


def _reckoned_ohm(job: Job) -> float | None:
    supply, tails = job.supply, job.supply.tails
    if supply.ze_ohm is None or tails.length_m is None or supply.earthing_conductor_metal != "copper":
        return None
    line_ohm = _ohm(tails.size_mm2, tails.length_m.high)
    earth_ohm = _ohm(supply.earthing_conductor_mm2, tails.length_m.high)
    if line_ohm is None or earth_ohm is None:
        return None
    return loop_ohm(ze_ohm=supply.ze_ohm.high, r1_ohm=line_ohm, r2_ohm=earth_ohm)


def _ohm(size_mm2: Reading | None, length_m: float) -> float | None:
    if size_mm2 is None:
        return None
    try:
        alpha = constant("iec/conductor_constants", "copper_alpha20").value
        r20 = look_up(COPPER, "r20_ohm_per_km", size_mm2=size_mm2.low)
    except NoRow:
        return None
    return resistance_ohm(r20_ohm_per_km=r20.value, length_m=length_m, at_c=COLD_C, alpha20_per_k=alpha)


AT_BOARD: dict[str, Fill] = {each.__name__: each for each in (board_loop, board_fault_current)}
