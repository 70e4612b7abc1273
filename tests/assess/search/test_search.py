"""The search against brute force: every combination of small catalogues, designed and judged by the whole book.

Nothing of the search's tables, bounds or memory is used on the other side, only prices and the rules.
"""

from itertools import pairwise, product
from pathlib import Path
from typing import Any

import pytest
from jobs import house

from ampwright.assess.book import BOOK
from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.search.bench import FAILED, OPEN, SETTLED, rank_of
from ampwright.assess.search.front import front
from ampwright.assess.search.search import Search
from ampwright.job.record import Section
from ampwright.reading import assumed, measured

HEAD, *ROWS = (Path(__file__).parent / "small_catalogue.csv").read_text(encoding="utf-8").splitlines()


def sections(*laid):
    """Stretches by (method, length)."""
    same: dict[str, Any] = {"ambient_c": measured(30), "circuits_together_count": measured(1),
                            "insulation_mm": measured(0), "depth_m": measured(0.6), "outdoors": False,
                            "soil_k_m_per_w": measured(2.5)}
    return tuple(Section(name=f"stretch {number}", method=method, length_m=length, **same)
                 for number, (method, length) in enumerate(laid))  # fmt: skip


def catalogue(*keep):
    """The small catalogue, or of protection, earthing, load cap and cable only the rows named."""
    thinned = ("protection", "earthing", "load cap", "cable")
    rows = [row for row in ROWS
            if not keep or row.split(",")[0] not in thinned or row.split(",")[1] in keep]  # fmt: skip
    return read_catalogue("\n".join([HEAD, *rows]))


def judged(search):
    """How every rule stands with every combination, by charge: the whole book on each, nothing left out."""
    space = search.space
    others = [space.choices[axis] for axis in space.axes if axis != "charging"]
    return {charge: {(picked, way): ranks_of(space.designed((charge.choice, *picked), search.routes.of(way)))
                     for picked in product(*others) for way in range(len(search.routes.cells))}
            for charge in search.charges}  # fmt: skip


def brute(search, ranks_by_charge, most):
    """The front by judging everything.

    Each rule is held to `most` or to the best that any combination does: first the rules that do not care about the
    cable, then, among what they leave, those that do.
    """
    figures = []
    for charge, ranks in ranks_by_charge.items():
        by_choice: dict[object, list[dict[str, int]]] = {}
        for (picked, _), each in ranks.items():
            by_choice.setdefault(picked, []).append(each)
        careful = {name for alike in by_choice.values() for name in alike[0] if len({each[name] for each in alike}) > 1}
        careful |= {rule.name for rule in BOOK.regulations if any("route[].cable" in need for need in rule.needs)}
        left = held(held(ranks, {rule.name for rule in BOOK.regulations} - careful, most), careful, most)
        figures += [figures_of(search, charge, picked, way) for picked, way in left]
    return {tuple(each) for each in front(figures, lambda each: each)}


def ranks_of(job):
    return {rule.name: rank_of(rule, rule(job).verdict) for rule in BOOK.regulations}


def held(ranks, names, most):
    """The combinations on which no rule of these stands worse than `most`, or than it does at its best if lawful."""
    floors = {name: min((each[name] for each in ranks.values()), default=0) for name in names}
    allowed = {name: max(most, floor) if floor < FAILED else most for name, floor in floors.items()}
    return {combo: each for combo, each in ranks.items() if all(each[name] <= allowed[name] for name in names)}


def figures_of(search, charge, chosen, way):
    """Pence and minutes by adding up the catalogue, row by row; the joint box, ends and lead by the route's lengths."""
    picked, cables = (*search.space.catalogue.axis("always"), charge.choice, *chosen), search.routes.of(way)
    lengths = [section.length_m.high for section in search.space.job.route]
    bare_m = sum(length for cable, length in zip(cables, lengths, strict=True) if "data" not in cable.id)
    totals = []
    for of in ("pence", "minutes"):
        route = sum(getattr(each.fixed, of) + length * getattr(each.per_m, of)
                    for each, length in zip(cables, lengths, strict=True))  # fmt: skip
        ends = [cables[0], cables[-1], *(each for pair in pairwise(cables) if pair[0] is not pair[1] for each in pair)]
        joints = sum(pair[0] is not pair[1] for pair in pairwise(cables))
        route += sum(getattr(each.per_end, of) for each in ends) + joints * {"pence": 1500, "minutes": 25}[of]
        buried_m = sum(each.length_m.high for each in search.space.job.route if each.method == "D")
        route += buried_m * {"pence": 110, "minutes": 20}[of]
        route += bare_m * sum(getattr(each.per_m, of) for each in picked)
        totals.append((route, sum(getattr(each.fixed, of) for each in picked)))
    minutes = [round(each) for each in totals[1]]
    # 6000 pence an hour is 100 pence a minute
    pence = [round(money + 100 * work) for money, work in zip(totals[0], minutes, strict=True)]
    lost = search.routes.micro_ohm[way] / 1e6 * charge.lost_kwh_per_ohm
    return sum(pence), sum(minutes), float(lost), -charge.power_kw


JOBS = {
    "short": {"route": sections(("C", measured(8)), ("D", measured(6)))},
    "long": {"route": sections(("C", measured(30)), ("C", measured(45)))},
    "ranges": {"route": sections(("C", assumed(10, 40)), ("D", measured(12))), "supply.ze_ohm": assumed(0.2, 0.9)},
    "small cut-out": {"route": sections(("C", measured(8)), ("C", measured(9))), "supply.cutout.rating_a": measured(80),
                      "supply.tails.size_mm2": measured(16)},
    "not looked at": {"route": sections(("C", measured(8)), ("D", measured(9))), "supply.ze_ohm": None},
    "TT": {"route": sections(("C", measured(20)),), "supply.earthing": "TT", "electrode.fitted": True,
           "electrode.measured_ohm": assumed(60, 400)},
}  # fmt: skip


SOME = {
    "nothing will do": ("b32", "b40", "window", "none", "flat 4", "flat 6", "arm 4"),
    "cheap and plain": ("b32", "b40", "b32 one pole", "window", "none", "wire", "radio", "flat 6", "arm 4", "arm 10"),
    "data and armour": ("b32", "c32", "b16", "window", "separate", "wire", "arm 4", "arm 6 data", "arm 10"),
}


@pytest.mark.parametrize("keep", SOME)
@pytest.mark.parametrize("name", JOBS)
def test_finds_what_brute_force_finds(name, keep):
    search = Search(house(JOBS[name]), catalogue(*SOME[keep]))
    ranks = judged(search)

    for most in (SETTLED, OPEN):
        assert {each.figures for each in search.designs(most)} == brute(search, ranks, most)


def test_more_stretches_than_two_changes_can_cover_still_yield_designs():
    route = sections(*[("C", measured(4)), ("D", measured(5)), ("C", measured(3)), ("C", measured(2))])
    search = Search(house({"route": route}), catalogue())

    assert search.designs(SETTLED)
    assert max(sum(a != b for a, b in pairwise(cells)) for cells in search.routes.cells.tolist()) == 2
