"""A yes or a no on a range holds for every reading inside it.

One reading of a job is widened at random, in a job with another device, RCD, cable and earth; the same job with an
exact reading taken from inside the range may then be open, but never answer the opposite.
"""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from jobs import change, house

from ampwright.deliver.demo import demo_files
from ampwright.facts import rows
from ampwright.job.files import parse
from ampwright.job.paths import at, spread
from ampwright.reading import Reading, assumed, measured
from ampwright.rules.gb.book import GB
from ampwright.working import Verdict

JOBS = {"house": house(), **{name: parse(text) for name, text in demo_files().items() if name.endswith(".yaml")}}
OPPOSITE = {Verdict.MET: Verdict.NOT_MET, Verdict.NOT_MET: Verdict.MET}
DEVICES = sorted({(row["device"], row["curve"], float(row["rating_a"])) for row in rows("gb/max_zs")
                  if 16 <= float(row["rating_a"]) <= 100})  # fmt: skip
INSIDE = (0.1, 0.25, 0.5, 0.75, 0.9)
SPANS = {
    "supply.ze_ohm": (0.05, 2), "supply.pfc_ka": (0.3, 20), "supply.cutout.rating_a": (40, 130),
    "supply.tails.size_mm2": (6, 35), "supply.tails.length_m": (0, 6), "site.built_year": (1900, 2026),
    "site.gas.pipe_to_cable_mm": (0, 600), "site.gas.meter_to_equipment_mm": (0, 600),
    "installation.main_switch_a": (40, 130), "installation.busbar_a": (40, 130),
    "installation.main_bonding_mm2": (4, 25), "installation.loads[].current_a": (0, 100),
    "generation.inverter_a": (0, 60), "storage.inverter_a": (0, 60), "charge_point.casing_m3": (0.01, 0.5),
    "charge_point.post_height_m": (0.5, 3), "charge_point.other_earth_within_m": (0.1, 20),
    "route[].length_m": (0, 90), "route[].ambient_c": (-5, 60), "route[].circuits_together_count": (1, 9),
    "route[].insulation_mm": (0, 600), "route[].soil_k_m_per_w": (0.5, 3.5), "route[].depth_m": (0.3, 2),
    "electrode.measured_ohm": (1, 3000), "tests.zs_ohm": (0.1, 3), "tests.insulation_megohm": (0, 5),
    "tests.r1r2_ohm": (0.01, 3), "tests.rcd_ms": (5, 600),
}  # fmt: skip


@st.composite
def jobs(draw):
    """A demo job with another circuit, as changes by path."""
    kind, curve, rating_a = draw(st.sampled_from(DEVICES))
    kind, curve = (draw(st.sampled_from(("mcb", "rcbo"))), curve) if kind == "mcb" else (kind, None)
    changes = {
        "circuit.device.kind": kind, "circuit.device.curve": curve, "circuit.device.rating_a": rating_a,
        "circuit.device.breaking_ka": draw(st.sampled_from((6.0, 10.0))),
        "circuit.rcd.fitted": draw(st.booleans()),
        "circuit.rcd.idn_ma": draw(st.sampled_from((10.0, 30.0, 100.0, 300.0, 500.0))),
        "circuit.rcd.delayed": draw(st.booleans()),
        "route[0].cable.cpc_mm2": draw(st.sampled_from((None, 1.0, 1.5, 2.5, 4.0, 6.0))),
        "route[0].method": draw(st.sampled_from(("A", "B", "C", None))),
        "electrode.fitted": True, "electrode.measured_ohm": measured(draw(st.sampled_from((20, 150, 1500)))),
        **draw(st.sampled_from((
            {"circuit.earthed_by": "supply", "supply.earthing": "TN-S"},
            {"circuit.earthed_by": "own electrode"},
            {"circuit.earthed_by": "supply", "supply.earthing": "TT"},
        ))),
    }  # fmt: skip
    return draw(st.sampled_from(sorted(JOBS))), changes


def contradictions(job, path, low, high, points):
    """The rules that answer yes or no on the range, and the opposite at one of the points inside."""
    wide = change(job, {path: assumed(low, high, "not read closely")})
    for rule in GB.regulations:
        verdict = rule(wide).verdict
        if verdict in OPPOSITE:
            for point in (low, *points, high):
                if rule(change(job, {path: measured(point)})).verdict is OPPOSITE[verdict]:
                    yield f"{rule.name} is {verdict.value} for {path} of {low} to {high}, but not at {point}"


SHORT = {f"route[{number}].length_m": measured(0) for number in range(3)}
REVIEWED = {**SHORT, "circuit.device.curve": "C", "circuit.device.rating_a": 63.0, "circuit.rcd.idn_ma": 100.0,
            "circuit.rcd.delayed": True, "route[0].cable.cpc_mm2": 2.5}  # fmt: skip
SLOW_RCD = {**SHORT, "circuit.rcd.idn_ma": 300.0, "circuit.rcd.delayed": True}


@settings(max_examples=150, deadline=None, derandomize=True)
@given(named=jobs(), pattern=st.sampled_from(sorted(SPANS)), ends=st.tuples(st.floats(0, 1), st.floats(0, 1)),
       which=st.integers(0, 5), other=st.floats(0, 1))  # fmt: skip
@example(named=("house", REVIEWED), pattern="supply.ze_ohm", ends=(0.1077, 0.3846), which=0, other=0.2)
def test_a_verdict_on_a_range_holds_inside_it(named, pattern, ends, which, other):
    name, changes = named
    job = change(JOBS[name], changes)
    paths = spread(job, pattern)
    if not paths or ("[]" in pattern and "[" not in paths[0]):
        return
    least, most = SPANS[pattern]
    low, high = (round(least + share * (most - least), 4) for share in sorted(ends))
    points = [low + share * (high - low) for share in (*INSIDE, other)]
    assert list(contradictions(job, paths[which % len(paths)], low, high, points)) == []


@pytest.mark.parametrize(
    ("changes", "path", "low", "high"),
    # each range gave a yes or a no before its inside was judged
    [
        (REVIEWED, "supply.ze_ohm", 0.26, 0.8),
        ({**REVIEWED, "circuit.device.rating_a": 40.0, "route[0].cable.cpc_mm2": 1.5, "circuit.rcd.delayed": False,
          "circuit.rcd.idn_ma": 30.0}, "supply.ze_ohm", 0.55, 0.74),
        (SLOW_RCD, "supply.ze_ohm", 300, 450),
        ({**SLOW_RCD, "supply.ze_ohm": measured(1)}, "tests.zs_ohm", 300, 450),
    ],
)  # fmt: skip
def test_ranges_that_once_misled(changes, path, low, high):
    points = [low + step / 40 * (high - low) for step in range(1, 40)]
    assert list(contradictions(house(changes), path, low, high, points)) == []


def test_every_reading_that_a_rule_asks_for_is_tried():
    asked = {pattern for rule in GB.regulations for pattern in rule.needs}
    job = house()
    readings = {each for each in asked if any(_is_reading(job, path) for path in spread(job, each))}
    assert readings <= set(SPANS)


def _is_reading(job, path):
    return isinstance(at(job, path), Reading)
