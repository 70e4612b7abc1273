"""BS 7671 section 722 and chapter 53: the residual current devices that a charge point stands behind."""

from __future__ import annotations

from collections.abc import Callable

from ampwright.facts import constant, look_up, look_up_text
from ampwright.job.paths import at, unseen
from ampwright.job.record import Job, Rcd
from ampwright.rules.regulation import Finding, ask, does_not_apply, regulation, seen, settled
from ampwright.working import Working, capital

OWN = ("circuit.rcd", "charge_point.rcd")
UPSTREAM = "installation.upstream_rcd"
WHERE = {"circuit.rcd": "at the board", "charge_point.rcd": "in the charge point", UPSTREAM: "further up"}
Answer = tuple[bool, tuple[str, ...]]


@regulation(asks="Has the charge point its own RCD of 30 mA or less?")
def rcd_additional_protection(job: Job) -> Finding:
    """One at the board for this circuit alone or one in the unit will do; one shared further up will not."""
    sheet = Working()
    sheet.fact("Idnmax", constant("gb/protection_limits", "additional_protection_to"))
    found, gaps = _one_that(job, _additional)
    if found:
        rcd: Rcd = at(job, found)
        sheet.given("Idn", seen(rcd.idn_ma), f"the RCD {WHERE[found]}")
        says = f"The RCD {WHERE[found]} acts at {rcd.idn_ma:g} mA; the limit is {_limit_ma():g} mA."
        return settled(True, says, sheet)
    if gaps:
        return ask(*gaps)
    fitted = _fitted(job)
    if not fitted:
        says = f"The charge point has no RCD of its own; one of {_limit_ma():g} mA or less is needed."
        return settled(False, says, sheet)
    late = [path for path in fitted if at(job, path).delayed]
    if late:
        says = f"The {_ma(at(job, late[0]))} RCD {WHERE[late[0]]} is time-delayed: that gives no additional protection."
        return settled(False, says, sheet)
    says = ", ".join(f"the RCD {WHERE[path]} acts at {at(job, path).idn_ma:g} mA" for path in fitted)
    return settled(False, f"{capital(says)}; the limit is {_limit_ma():g} mA.", sheet)


@regulation(asks="Does the RCD see the kind of current that a car may leak?",
            needs=("circuit.rcd.fitted", "charge_point.rcd.fitted"))  # fmt: skip
def rcd_type_fits(job: Job) -> Finding:
    """Type B by itself; type A or F if the unit cuts off smooth direct current in time; type AC never."""
    fitted = _fitted(job)
    if not fitted:
        return does_not_apply("The charge point has no RCD of its own to judge.")
    types = {path: at(job, path).type for path in fitted}
    blind = [path for path, kind in types.items() if kind == "AC"]
    if blind:
        says = f"The RCD {WHERE[blind[0]]} is type AC, which a car's direct current can blind."
        return settled(False, says, Working())
    gaps = unseen(job, tuple(f"{path}.type" for path in fitted))
    relying = [path for path, kind in types.items() if kind in ("A", "F")]
    if relying and job.charge_point.dc_detection is False:
        kind = types[relying[0]]
        says = f"The RCD {WHERE[relying[0]]} is type {kind} and the charge point does not watch for direct current."
        return settled(False, says, _direct_current(seen(kind))[1])
    if relying:
        gaps += unseen(job, ("charge_point.dc_detection",))
    if gaps:
        return ask(*gaps)
    if not relying:
        return settled(True, f"The RCD {WHERE[fitted[0]]} is type B, which sees direct current itself.", Working())
    kind = seen(types[relying[0]])
    fits, sheet = _direct_current(kind)
    says = (f"The charge point cuts off at {_detection_ma():g} mA of direct current, and a type {kind} RCD stays "
            f"sound up to {look_up('gb/rcd_types', 'dc_immunity_ma', type=kind).value:g} mA.")  # fmt: skip
    return settled(fits, says, sheet)


@regulation(asks="Does the charge point's RCD break the neutral as well as the line?", needs=("charge_point.phases",))
def rcd_breaks_all_live(job: Job) -> Finding:
    """Every line and the neutral: two poles on one phase, four on three."""
    sheet = Working()
    phases = sheet.given("nline", seen(job.charge_point.phases))
    live = sheet.step("nlive = nline + 1", phases + 1)

    def breaks(rcd: Rcd, path: str) -> Answer:
        if rcd.poles is not None and rcd.poles < live:
            return False, ()
        sensitive, gaps = _sensitive(rcd, path)
        if not sensitive and not gaps:
            return False, ()
        gaps += (f"{path}.poles",) if rcd.poles is None else ()
        return not gaps, gaps

    found, gaps = _one_that(job, breaks)
    if found:
        poles = sheet.given("npole", seen(at(job, found).poles), f"the RCD {WHERE[found]}")
        return settled(True, f"The RCD {WHERE[found]} breaks {poles:g} poles; {live:g} conductors are live.", sheet)
    if gaps:
        return ask(*gaps)
    fitted = [path for path in _fitted(job) if _sensitive(at(job, path), path)[0]]
    if not fitted:
        return does_not_apply(f"The charge point has no RCD of {_limit_ma():g} mA or less to judge.")
    poles = sheet.given("npole", seen(at(job, fitted[0]).poles), f"the RCD {WHERE[fitted[0]]}")
    says = f"The RCD {WHERE[fitted[0]]} breaks {poles:g} of {live:g} live conductors."
    hint = " A device of one module often switches the line alone." if poles == 1 else ""
    return settled(False, f"{says}{hint}", sheet)


@regulation(asks="Does an RCD further up leave the charge point's own RCD to act, and stay sound itself?",
            needs=("installation.upstream_rcd.fitted",))  # fmt: skip
def rcd_selectivity(job: Job) -> Finding:
    """Further up it must be slower and coarser, and no direct current may blind it."""
    if job.installation.upstream_rcd.fitted is False:
        return does_not_apply("No RCD stands between the supply and the charge point's circuit.")
    upstream = job.installation.upstream_rcd
    blinded, gaps = _blinded(job)
    if blinded:
        says = f"The RCD further up is type {upstream.type}, which a car's direct current can blind."
        return settled(False, says, Working())
    own = [path for path in _fitted(job) if at(job, path).idn_ma is not None]
    own_gaps = tuple(gap for path in OWN for gap in _idn_gaps(at(job, path), path))
    if upstream.delayed is False and own:
        own_words = _ma(at(job, own[0]))
        says = f"The {_ma(upstream)} RCD further up and the {own_words} one of the charge point act together."
        return settled(False, f"{says} A fault in the car may put the house out.", Working())
    gaps += own_gaps + unseen(job, (f"{UPSTREAM}.delayed", f"{UPSTREAM}.idn_ma"))
    if gaps:
        return ask(*gaps)
    if not own:
        return does_not_apply("The RCD further up is the only one: there is nothing for it to wait for.")
    return _graded(job, max(seen(at(job, path).idn_ma) for path in own))


@regulation(asks="Can every RCD bear current flowing back through it?",
            needs=("charge_point.sends_power_back",))  # fmt: skip
def rcd_bidirectional(job: Job) -> Finding:
    """Where the car or a source feeds back through it, a device marked for one direction may fail."""
    sources = {"solar panels": "generation", "a battery": "storage"}
    feeding = [name for name, path in sources.items() if at(job, path).fitted and at(job, path).on_charge_point_circuit]
    feeding += ["the car"] if job.charge_point.sends_power_back else []
    if not feeding:
        gaps = tuple(gap for path in sources.values() for gap in _source_gaps(job, path))
        return ask(*gaps) if gaps else _through_upstream(job, sources)
    every = (*OWN, UPSTREAM)
    one_way = [path for path in every if at(job, path).fitted and at(job, path).bidirectional is False]
    if one_way:
        says = f"The RCD {WHERE[one_way[0]]} is marked for one direction, and {feeding[0]} can feed back through it."
        return settled(False, says, Working(), ("two_supplies",))
    gaps = tuple(gap for path in every for gap in _direction_gaps(at(job, path), path))
    if gaps:
        return ask(*gaps)
    fitted = [path for path in every if at(job, path).fitted]
    if not fitted:
        return does_not_apply("No RCD stands on the charge point's circuit.")
    says = f"{feeding[0]} can feed back, and every RCD in the way is made for both directions."
    return settled(True, capital(says), Working(), ("two_supplies",))


def _through_upstream(job: Job, sources: dict[str, str]) -> Finding:
    """What feeds the house from another circuit sends its surplus back through an RCD further up."""
    upstream, names = job.installation.upstream_rcd, [name for name, path in sources.items() if at(job, path).fitted]
    if not names:
        return does_not_apply("Nothing in the house feeds power back.")
    gaps = _direction_gaps(upstream, UPSTREAM)
    if gaps:
        return ask(*gaps, says=f"Whatever {names[0]} does not leave in the house goes back through an RCD further up.")
    if not upstream.fitted:
        return does_not_apply("Nothing on the charge point's circuit feeds power back, and no RCD is shared.")
    says = f"The RCD further up is made for {'both directions' if upstream.bidirectional else 'one direction'}"
    says = f"{says}, and {names[0]} can feed back through it if connected behind it."
    return settled(upstream.bidirectional is True, says, Working(), ("two_supplies",))


def _graded(job: Job, own_ma: float) -> Finding:
    sheet = Working()
    upstream_ma = sheet.given("Idnup", seen(job.installation.upstream_rcd.idn_ma))
    sheet.given("Idn", own_ma)
    if own_ma <= 0:
        return ask(*(f"{path}.idn_ma" for path in _fitted(job)))
    times = sheet.step("nup = Idnup / Idn", upstream_ma / own_ma)
    least = sheet.fact("nupmin", constant("gb/protection_limits", "upstream_multiple"))
    says = (f"The RCD further up waits, at {upstream_ma:g} mA against {own_ma:g} mA: "
            f"{times:.1f} times; {least:g} are wanted.")  # fmt: skip
    return settled(times >= least, says, sheet)


def _blinded(job: Job) -> Answer:
    """Whether direct current from the car can blind the RCD further up, and what is open about it."""
    kind, detection = job.installation.upstream_rcd.type, job.charge_point.dc_detection
    if kind == "AC":
        return True, ()
    if kind is None:
        return False, (f"{UPSTREAM}.type",)
    if kind == "B" or detection:
        return False, ()
    return (False, ("charge_point.dc_detection",)) if detection is None else (True, ())


def _direct_current(kind: str) -> tuple[bool, Working]:
    """Whether the charge point cuts off no later than an RCD of that type can bear."""
    sheet = Working()
    sheet.remark(f"Type {kind} sees {look_up_text('gb/rcd_types', 'sees', type=kind)}.")
    bears_ma = sheet.fact("Idcmax", look_up("gb/rcd_types", "dc_immunity_ma", type=kind))
    acts_ma = sheet.fact("Idc", constant("gb/protection_limits", "dc_detection"))
    return acts_ma <= bears_ma, sheet


def _detection_ma() -> float:
    return constant("gb/protection_limits", "dc_detection").value


def _limit_ma() -> float:
    return constant("gb/protection_limits", "additional_protection_to").value


def _fitted(job: Job) -> list[str]:
    return [path for path in OWN if at(job, path).fitted]


def _one_that(job: Job, test: Callable[[Rcd, str], Answer]) -> tuple[str, tuple[str, ...]]:
    """The first own RCD that passes a test, else what would have to be known for one to pass."""
    gaps: tuple[str, ...] = ()
    for path in OWN:
        rcd: Rcd = at(job, path)
        if rcd.fitted is False:
            continue
        passes, missing = test(rcd, path)
        if passes and rcd.fitted:
            return path, ()
        if passes or missing:
            gaps += missing if rcd.fitted else (f"{path}.fitted",)
    return "", gaps


def _sensitive(rcd: Rcd, path: str) -> Answer:
    """Whether its rated residual current is small enough for additional protection."""
    if rcd.idn_ma is None:
        return False, (f"{path}.idn_ma",)
    return rcd.idn_ma <= _limit_ma(), ()


def _additional(rcd: Rcd, path: str) -> Answer:
    """Whether it gives additional protection: small enough, and without delay."""
    small, gaps = _sensitive(rcd, path)
    if not small or rcd.delayed:
        return False, gaps
    return (True, ()) if rcd.delayed is False else (False, (f"{path}.delayed",))


def _idn_gaps(rcd: Rcd, path: str) -> tuple[str, ...]:
    if rcd.fitted is None:
        return (f"{path}.fitted",)
    return (f"{path}.idn_ma",) if rcd.fitted and rcd.idn_ma is None else ()


def _direction_gaps(rcd: Rcd, path: str) -> tuple[str, ...]:
    if rcd.fitted is None:
        return (f"{path}.fitted",)
    return (f"{path}.bidirectional",) if rcd.fitted and rcd.bidirectional is None else ()


def _source_gaps(job: Job, path: str) -> tuple[str, ...]:
    source = at(job, path)
    if source.fitted is None:
        return (f"{path}.fitted",)
    return unseen(job, (f"{path}.on_charge_point_circuit",)) if source.fitted else ()


def _ma(rcd: Rcd) -> str:
    return f"{rcd.idn_ma:g} mA" if rcd.idn_ma is not None else "delay-free"
