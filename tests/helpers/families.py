"""A catalogue of one family of cable in several sizes, all else given, and the sizes of it that are lawful."""

from collections.abc import Iterable, Mapping

from catalogues import SMALLEST, written

from ampwright.assess.assessment import assess
from ampwright.assess.catalogue import Catalogue, read_catalogue
from ampwright.assess.search.bench import JUDGED
from ampwright.assess.search.search import Search
from ampwright.job.record import Job
from ampwright.working import Verdict

CABLE = "route[].cable."


def family(kind: str, sizes_mm2: Iterable[float], cores_count: int = 3, cpc: str = "core", *,
           devices: Mapping[str, str] | None = None, cpcs_mm2: Iterable[float] = ()) -> Catalogue:  # fmt: skip
    """One family in these sizes, each dearer than the one before.

    `devices` are protective devices: the fields set, by id; where none are given, the job's own stays.
    `cpcs_mm2` are the protective conductors, one a size, where they are not as thick as the lines.
    """
    sizes = tuple(sizes_mm2)
    cpcs = tuple(cpcs_mm2) or (None,) * len(sizes)
    cables = [{"sets": f"{CABLE}kind={kind}; {CABLE}size_mm2={size_mm2:g}; {CABLE}cores_count={cores_count}; "
                       f"{CABLE}cpc={cpc}; {CABLE}cpc_mm2={'none' if cpc_mm2 is None else f'{cpc_mm2:g}'}; "
                       f"{CABLE}carries_data=false", "pence_per_m": f"{100 + 40 * size_mm2 + 10 * (cpc_mm2 or 0):.0f}"}
              for size_mm2, cpc_mm2 in zip(sizes, cpcs, strict=True)]  # fmt: skip
    boxes = [{"id": name, "sets": sets} for name, sets in (devices or {"as found": ""}).items()]
    changes: dict[str, dict[str, str]] = {axis: {"sets": "", "offered_where": ""} for axis in SMALLEST}
    changes["cable"] |= cables[0]
    changes["protection"] |= boxes[0]
    more = [("cable", each) for each in cables[1:]] + [("protection", each) for each in boxes[1:]]
    return read_catalogue(written(changes, more))


def lawful_sizes_mm2(job: Job, catalogue: Catalogue, most: int = JUDGED, field: str = "size_mm2") -> list[float]:
    """The sizes (or another field of the cable) of what the search finds with no check worse than `most`, in order.

    JUDGED leaves out just what some check says no to. A size is dearer than every smaller one, so that the smallest
    lawful one is the cheapest and on the front.
    """
    cables = [each.cables[0] for each in Search(job, catalogue).designs(most)]
    return sorted({float(dict(cable.sets)[f"{CABLE}{field}"]) for cable in cables})


def not_met(job: Job, catalogue: Catalogue, index: int) -> dict[str, str]:
    """What each check says that the cable of that index fails, with the first choice on every other axis."""
    space = Search(job, catalogue).space
    design = space.designed([space.choices[axis][0] for axis in space.axes], (space.stretches[0][index],))
    return {check.rule: check.says for check in assess(design).checks if check.verdict is Verdict.NOT_MET}
