"""The tools and test gear to load, by what the job has to do and to test; bits are with the holes."""

from __future__ import annotations

from ampwright.assess.materials.cables import ENCLOSED
from ampwright.assess.materials.earthing import drives_a_rod
from ampwright.assess.materials.ends import may_be_fine
from ampwright.assess.materials.gathering import Gathering
from ampwright.job.record import Job
from ampwright.rules.gb.parts.loop import ARMOURED

ALWAYS = {
    "voltage indicator and proving unit": "prove dead where you work, and the indicator itself before and after",
    "lock-off kit": "isolate and lock off",
    "insulation and continuity tester": "dead tests",
    "loop tester": "the loop, the prospective fault current",
    "charge-point test adapter": "the charge point's states and its fault tests",
    "torque screwdriver": "terminals to their maker's figure",
    "tape measure and calliper": "lengths, and the diameter of the very cable",
    "camera": "each label and each made-off end",
    "ladder": "what is above reach",
}


def take_tools(job: Job, to: Gathering) -> None:
    """What every job wants, and what this one wants besides; where it is not known, the tool comes along."""
    for code, why in ALWAYS.items():
        to.load(code, why)
    rcds = (job.circuit.rcd, job.charge_point.rcd, job.installation.upstream_rcd)
    if any(rcd.fitted is not False for rcd in rcds):
        to.load("RCD tester", "trip times")
    if job.sensors or job.charge_point.load_cap.fitted is not False:
        to.load("clamp meter", "the sensors and the load cap against a known current")
    methods = {section.method for section in job.route}
    if any(section.cable.kind in ARMOURED for section in job.route):
        to.load("gland spanners", "glands")
        to.load("armour saw and knife", "armour cut and stripped")
    if any(may_be_fine(section.cable) for section in job.route):
        to.load("ferrule crimper", "fine strands")
    holes = any(section.through for section in job.route)
    if holes or job.charge_point.mounting != "post":
        to.load("hammer drill", "holes and fixings")
        to.load("dust extractor and mask", "dust; stop if it may be asbestos")
        to.load("cable and pipe detector", "before every hole")
    if holes or methods & {*ENCLOSED}:
        to.load("fish tape", "pulling through")
    if any(section.enclosure.kind == "conduit" and not section.enclosure.there for section in job.route):
        to.load("conduit bender and cutter", "conduit")
    if "D" in methods or job.charge_point.mounting == "post":
        to.load("spade and trenching tools", "digging")
        to.load("cable and pipe detector", "before digging")
    if drives_a_rod(job):
        to.load("rod driver", "the earth electrode")
        to.load("cable and pipe detector", "before a rod goes in")
    if drives_a_rod(job) or job.electrode.fitted or job.supply.earthing == "TT":
        to.load("earth electrode tester", "the electrode's resistance, disconnected and its circuit dead")
