"""The whole take-off of a job, and the drums for the cables of several."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence

from ampwright.assess.materials.cables import take_cables
from ampwright.assess.materials.drums import DrumPlan, Length, Stock, plan_drums
from ampwright.assess.materials.earthing import take_earthing, take_labels
from ampwright.assess.materials.enclosures import take_enclosures
from ampwright.assess.materials.ends import take_ends
from ampwright.assess.materials.fixings import take_fixings
from ampwright.assess.materials.gathering import Gathering
from ampwright.assess.materials.glands import take_glands
from ampwright.assess.materials.items import TakeOff
from ampwright.assess.materials.leads import take_leads, take_segregation
from ampwright.assess.materials.van import take_tools
from ampwright.assess.materials.walls import take_walls
from ampwright.job.record import Job

PARTS = (take_cables, take_enclosures, take_fixings, take_glands, take_ends, take_walls, take_earthing, take_leads,
         take_segregation, take_labels, take_tools)  # fmt: skip


def take_off(job: Job) -> TakeOff:
    """What the job needs in material and tools, by its record alone; ranges stay ranges, gaps are named."""
    to = Gathering()
    for part in PARTS:
        part(job, to)
    return to.done()


def _cables(job: Job) -> TakeOff:
    """The cables alone, which is all that drums are planned for."""
    to = Gathering()
    take_cables(job, to)
    return to.done()


def plans_for(jobs: Iterable[tuple[str, Job]], drums_m: Sequence[float],
              in_hand_m: Sequence[float]) -> tuple[dict[str, DrumPlan], tuple[str, ...]]:  # fmt: skip
    """A drum plan for each kind of cable, the longest that each length may be; and the jobs with cable still unknown.

    `in_hand_m` are rests of every kind. Raises CannotCut.
    """
    stocks = [*(Stock(each) for each in dict.fromkeys(drums_m)),
              *(Stock(each, count) for each, count in Counter(in_hand_m).items())]  # fmt: skip
    lengths = defaultdict[str, list[Length]](list)
    unknown = []
    for name, job in jobs:
        found = _cables(job)
        for cut in found.cuts:
            lengths[cut.name].append(Length(name, cut.length_m.high))
        if found.missing:
            unknown.append(name)
    return {name: plan_drums(cuts, stocks) for name, cuts in lengths.items()}, tuple(unknown)
