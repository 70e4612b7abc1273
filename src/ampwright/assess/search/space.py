"""What may be chosen for one job: the catalogue's choices that are offered there, and what a set of them fixes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from ampwright.assess.catalogue import AXES, Catalogue, Choice, applied, offered
from ampwright.job.fields import in_words
from ampwright.job.paths import at, changed
from ampwright.job.record import Cable, Job, Section

HUB = "charging"
NOT_CHOSEN = ("labour", "always", "joint", "trench", "cable")
ROUTE = "route"
UNMEASURED: dict[str, Any] = dict.fromkeys(("bedding_mm", "sheath_mm", "conductor_class"))
Picked = Mapping[str, Choice]
Cables = tuple[Choice, ...]


class CannotSearch(ValueError):
    """The job or the catalogue leaves nothing to search; the message says what is wanted, all faults at once."""


@dataclass(frozen=True)
class Space:
    """The choices that this job leaves open: of each axis but the cable, and of the cable for each stretch.

    `varied` are paths that no choice sets and that a search may be asked about with other values.
    """

    job: Job
    catalogue: Catalogue
    axes: tuple[str, ...]
    choices: Mapping[str, tuple[Choice, ...]]
    stretches: tuple[Cables, ...]
    varied: tuple[str, ...] = ()

    @cached_property
    def axis_of(self) -> dict[str, str]:
        """The axis that decides each record path; `route` for what the cable of any stretch decides."""
        found = {path: axis for axis in self.axes for choice in self.choices[axis] for path in choice.changes()}
        cable = {path for number, offers in enumerate(self.stretches) for choice in offers
                 for path in choice.changes(number)}  # fmt: skip
        return found | dict.fromkeys(cable, ROUTE)

    @cached_property
    def decided(self) -> tuple[str, ...]:
        """Every record path that a choice may set or that may be varied."""
        return (*self.axis_of, *self.varied)

    @cached_property
    def as_found(self) -> dict[str, Any]:
        """What the job itself says at the decided paths, for a choice that leaves them alone."""
        return {path: at(self.job, path) for path in self.decided}

    def values(self, picked: Iterable[Choice], cables: Cables) -> dict[str, Any]:
        """The decided fields under these choices."""
        values = dict(self.as_found)
        for choice in picked:
            values.update(self._fixes.get((id(choice), None)) or choice.changes())
        for number, cable in enumerate(cables):
            values.update(self._fixes.get((id(cable), number)) or cable.changes(number))
        return values

    def with_cables(self, values: Mapping[str, Any], cables: Cables) -> dict[str, Any]:
        """The same values with these cables on the stretches."""
        here = dict(values)
        for number, cable in enumerate(cables):
            here.update(self._fixes[id(cable), number])
        return here

    @cached_property
    def _fixes(self) -> dict[tuple[int, int | None], dict[str, Any]]:
        """What each choice fixes, of a cable on each stretch, by the choice's identity: asked for very often."""
        fixed: dict[tuple[int, int | None], dict[str, Any]] = {
            (id(choice), None): choice.changes() for axis in self.axes for choice in self.choices[axis]}
        fixed.update({(id(cable), number): cable.changes(number) for number, offers in enumerate(self.stretches)
                      for cable in offers})  # fmt: skip
        return fixed

    def laid(self, number: int, cable: Choice) -> Section:
        """One stretch with that cable in it."""
        return applied(self.job, cable, number).route[number]

    def designed(self, picked: Iterable[Choice], cables: Cables) -> Job:
        """The job as these choices would build it; what was measured of a cable is not said of another."""
        built = changed(self.job, self.values(picked, cables))
        route = tuple(new if _alike(old.cable, new.cable) else replace(new, cable=replace(new.cable, **UNMEASURED))
                      for old, new in zip(self.job.route, built.route, strict=True))  # fmt: skip
        return replace(built, route=route)


def _alike(one: Cable, other: Cable) -> bool:
    return all(getattr(one, each) == getattr(other, each) for each in ("kind", "size_mm2", "cores_count", "cpc_mm2"))


def space_for(job: Job, catalogue: Catalogue, varied: tuple[str, ...] = ()) -> Space:
    """The choices offered on this job; what a choice sets is not varied besides. Readings of sensors are left out: they
    are of what hangs there now, and the design is of what will.

    Raises CannotSearch, naming all that is missing.
    """
    job = replace(job, tests=replace(job.tests, sensing=()))
    axes = tuple(axis for axis in AXES if axis not in NOT_CHOSEN)
    choices = {axis: tuple(each for each in catalogue.axis(axis) if offered(each, job)) for axis in axes}
    stretches = tuple(tuple(each for each in catalogue.axis("cable") if offered(each, job, number))
                      for number in range(len(job.route)))  # fmt: skip
    faults = [f"The catalogue offers nothing here under {axis!r}." for axis in axes if not choices[axis]]
    faults += [f"The catalogue offers no cable for {section.name!r} (method {section.method})."
               for section, offers in zip(job.route, stretches, strict=True) if not offers]  # fmt: skip
    faults += [f"The length of {section.name!r} is wanted, as a range at least."
               for section in job.route if section.length_m is None]  # fmt: skip
    faults += [f"{path}: {in_words(path)} is wanted, of the job or of {choice.words!r}."
               for choice in choices[HUB] for path in ("charge_point.rated_a", "charge_point.phases")
               if (choice.changes()[path] if path in choice.changes() else at(job, path)) is None]  # fmt: skip
    if not job.route:
        faults.append("The route is wanted: at least one stretch, with its length and how it is laid.")
    if faults:
        raise CannotSearch("\n".join(faults))
    space = Space(job, catalogue, axes, choices, stretches)
    return replace(space, varied=tuple(path for path in varied if path not in space.axis_of))
