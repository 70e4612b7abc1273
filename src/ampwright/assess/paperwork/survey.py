"""Boxes about what stands there already, where the record has it in other words."""

from __future__ import annotations

from ampwright.assess.book import BOOK
from ampwright.assess.paperwork.desk import Desk, Fill, Filled, from_paths, told, under
from ampwright.facts import NoRow, look_up_text
from ampwright.job.mpan import BadMpan, core, distributor
from ampwright.job.record import Job, Load, Rcd

REGIONAL_MOST = 23
CAR = "ev_charge_point"
NONE = "none"


def mpan(desk: Desk, _: str) -> Filled:
    """The 13 digits in the groups in which they are printed, so that they can be read back."""
    paths = ("site.mpan",)
    try:
        digits = core(desk.job.site.mpan or "")
    except BadMpan:
        return Filled(None, paths)
    return Filled(" ".join((digits[:2], digits[2:6], digits[6:10], digits[10:])), paths)


def network_operator(desk: Desk, _: str) -> Filled:
    """By the first two digits of the MPAN; a postcode is only a hint."""
    paths = ("site.mpan",)
    try:
        number = distributor(desk.job.site.mpan or "")
    except BadMpan:
        return Filled(None, paths)
    if number > REGIONAL_MOST:
        return Filled(f"independent operator, no. {number}", paths)
    return Filled(f"{look_up_text('gb/dno_regions', 'area', id=number)}, no. {number}", paths)


def loads(desk: Desk, _: str) -> Filled:
    """Every load that stands there, with its size."""
    listed, paths = desk.job.installation.loads, under(desk.job, "installation.loads[]")
    if listed is None:
        return Filled(None, ("installation.loads",))
    return Filled("; ".join(_load(each) for each in listed) or NONE, paths)


def existing_charge_points(desk: Desk, _: str) -> Filled:
    """The charge points among the loads."""
    listed = desk.job.installation.loads
    if listed is None:
        return Filled(None, ("installation.loads",))
    paths = [f"installation.loads[{number}].purpose" for number in range(len(listed))]
    cars = [number for number, each in enumerate(listed) if each.purpose == CAR]
    paths += [path for number in cars for path in under(desk.job, "installation.loads[]") if f"[{number}]" in path]
    return Filled("; ".join(_load(listed[number]) for number in cars) or NONE, tuple(dict.fromkeys(paths)))


def _load(load: Load) -> str:
    if load.current_a is not None:
        return f"{load.called}, {told('current_a', load.current_a)}"
    return f"{load.called}, {told('power_w', load.power_w)}" if load.power_w is not None else load.called


def cutout(desk: Desk, column: str) -> Filled:
    """The standard or the type of the cut-out's fuse, by its kind."""
    kind = desk.job.supply.cutout.kind
    value = None if kind is None else look_up_text("gb/device_standards", column, kind=kind)
    return Filled(value, ("supply.cutout.kind",))


def service_head(desk: Desk, _: str) -> Filled:
    """Whether anything about the service head is a worry."""
    sound = desk.job.supply.cutout.sound
    words = {True: "sound, no concern", False: "NOT SOUND: the network operator's to put right", None: None}[sound]
    return Filled(words, ("supply.cutout.sound",))


def unmetered(desk: Desk, _: str) -> Filled:
    """The other way about than the record asks it."""
    metered = desk.job.supply.metered
    return Filled(None if metered is None else told("", not metered), ("supply.metered",))


def live_conductors(desk: Desk, _: str) -> Filled:
    """By the phases: a home's supply has its neutral with it."""
    words = {1: "1 phase, 2 wires, a.c.", 3: "3 phases, 4 wires, a.c."}
    phases = desk.job.supply.phases
    return Filled(None if phases is None else words[phases], ("supply.phases",))


def other_supplies(desk: Desk, _: str) -> Filled:
    """Generation, battery, and a car that sends power back."""
    job = desk.job
    asked = (("solar panels or other generation", "generation.fitted", job.generation.fitted),
             ("battery", "storage.fitted", job.storage.fitted),
             ("the car", "charge_point.sends_power_back", job.charge_point.sends_power_back))  # fmt: skip
    paths = tuple(path for _, path, _ in asked)
    if any(there is None for _, _, there in asked):
        return Filled(None, paths)
    also = ("generation.part_of_this_job",)  # which says that it is fitted
    return Filled(", ".join(words for words, _, there in asked if there) or NONE, (*paths, *also))


def upstream_rcd(desk: Desk, _: str) -> Filled:
    """Type and residual current, or that there is none."""
    rcd, group = desk.job.installation.upstream_rcd, "installation.upstream_rcd"
    if rcd.fitted is False:
        return Filled(NONE, (f"{group}.fitted",))
    return Filled(_rcd(rcd), (f"{group}.fitted", f"{group}.type", f"{group}.idn_ma", f"{group}.delayed"))


def _rcd(rcd: Rcd) -> str | None:
    if not rcd.fitted or rcd.type is None or rcd.idn_ma is None:
        return None
    return f"type {rcd.type}, {rcd.idn_ma:g} mA{', delayed' if rcd.delayed else ''}"


def surge_protection(desk: Desk, _: str) -> Filled:
    """Fitted, or what the rule makes of it that it is not."""
    path = "installation.surge_protection"
    fitted = desk.job.installation.surge_protection
    if fitted is None:
        return Filled(None, (path,))
    return Filled("fitted" if fitted else f"not fitted. {desk.check('surge_protection_decided').says}", (path,))


def board_reference(desk: Desk, _: str) -> Filled:
    """As it is marked; a board without a mark is called DB1."""
    marked = from_paths(desk, "installation.board_reference")
    if marked.value is not None or not desk.job.installation.board:
        return marked
    return Filled("DB1", ("installation.board",))


def main_switch_place(desk: Desk, _: str) -> Filled:
    """In the board, unless the record has it elsewhere."""
    elsewhere = from_paths(desk, "installation.main_switch_place")
    if elsewhere.value is not None:
        return elsewhere
    board = from_paths(desk, "installation.board_place")
    return Filled(f"in the board, {board.value}" if board.value else None, board.paths)


def protected(desk: Desk, _: str) -> Filled:
    """What planning asks before anything else."""
    paths = ("site.listed", "site.scheduled_monument", "site.conservation_area")
    site = desk.job.site
    said = (site.listed, site.scheduled_monument, site.conservation_area)
    if any(each is None for each in said):
        return Filled(None, paths)
    words = ("listed", "scheduled monument", "conservation area or Article 4 direction")
    return Filled(", ".join(word for word, yes in zip(words, said, strict=True) if yes) or NONE, paths)


def asbestos(desk: Desk, _: str) -> Filled:
    """Presumed unless the year of building rules it out."""
    built, path = desk.job.site.built_year, "site.built_year"
    if built is None:
        return Filled(None, (path,))
    feared = "asbestos" in BOOK.regulation("drilling_hazards")(desk.job).cautions
    says = "presumed until it is shown not to be there" if feared else "not presumed"
    return Filled(f"{says}: built {built.ends}", (path, *under(desk.job, "route[].through; charge_point.mounting")))


def billing_address(desk: Desk, _: str) -> Filled:
    """The customer's own address; one that is left out is that of the installation."""
    own = from_paths(desk, "people[customer].address; people[customer].postcode")
    if own.value is not None or desk.person("customer") is None:
        return own
    return from_paths(desk, "site.address; site.postcode").also(own.paths)


def generation_kw(desk: Desk, _: str) -> Filled:
    """What the inverter may give, all phases together."""
    if desk.job.generation.fitted is False:
        return Filled(NONE, ("generation.fitted",))
    per_phase_kw, paths = _inverter_kw(desk.job)
    count = 3 if desk.job.generation.line == "all" and desk.job.supply.phases == 3 else 1
    paths = (*paths, "generation.line", "supply.phases")
    return Filled(None if per_phase_kw is None else f"{per_phase_kw * count:.2f} kW", paths)


def generation_per_phase(desk: Desk, _: str) -> Filled:
    """What the inverter may give on each phase that it feeds."""
    per_phase_kw, paths = _inverter_kw(desk.job)
    words = "each phase" if desk.job.generation.line == "all" else desk.job.generation.line
    return Filled(None if per_phase_kw is None else f"{per_phase_kw:.2f} kW on {words}", paths)


def _inverter_kw(job: Job) -> tuple[float | None, tuple[str, ...]]:
    rated = job.generation.inverter_a
    return (None if rated is None else rated.high * job.supply.declared_v / 1000,
            ("generation.inverter_a", "supply.declared_v"))  # fmt: skip


def storage(desk: Desk, _: str) -> Filled:
    """The battery's inverter and what the battery holds."""
    if desk.job.storage.fitted is False:
        return Filled(NONE, ("storage.fitted",))
    return from_paths(desk, "storage.inverter_a; storage.capacity_kwh")


def standard_of(kind: str | None, column: str) -> str | None:
    """A column of the table of standards, None where it has no such device."""
    if kind is None:
        return None
    try:
        return look_up_text("gb/device_standards", column, kind=kind)
    except NoRow:
        return None


SURVEY: dict[str, Fill] = {each.__name__: each for each in (
    mpan, network_operator, loads, existing_charge_points, cutout, service_head, unmetered, live_conductors,
    other_supplies, upstream_rcd, surge_protection, board_reference, main_switch_place, protected, asbestos,
    billing_address, generation_kw, generation_per_phase, storage,
)}  # fmt: skip
