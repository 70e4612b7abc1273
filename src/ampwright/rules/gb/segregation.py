"""BS 7671 528.1: a data cable beside the mains, in the same sheath, conduit or trunking."""

from __future__ import annotations

from ampwright.job.record import Job, Section
from ampwright.rules.regulation import Finding, ask, does_not_apply, for_the_designer, regulation, settled
from ampwright.working import Working

ENCLOSED = ("A", "B")
SHARED = "in the same space"


@regulation(asks="Is every data cable kept apart from the mains, or made to lie beside it?",
            needs=("route[].name",))  # fmt: skip
def data_kept_apart(job: Job) -> Finding:
    """Together only where the data cores stand the mains voltage or are screened to earth; else in a space of its own.

    A stretch that nobody spoke of is asked about where a sensor is wired, since its lead must run somewhere. What a
    data pair in the sheath stands is read from its maker's sheet before it is bought: that is the designer's.
    """
    sharing = [(number, how) for number, section in enumerate(job.route) if (how := _shared(section))]
    spoiled = [(number, how) for number, how in sharing if job.route[number].enclosure.data_withstands_mains is False]
    if spoiled:
        number, how = spoiled[0]
        says = f"{job.route[number].name}: a data cable lies {how} and is not made for the mains voltage beside it."
        return settled(False, f"{says} Give it a conduit or a space of its own, or one that its maker says is made "
                       "for it.", Working(), ("sensor_lead",))  # fmt: skip
    unproved = [(number, how) for number, how in sharing if job.route[number].enclosure.data_withstands_mains is None]
    gaps = [f"route[{number}].enclosure.data_withstands_mains" for number, _ in unproved
            if not job.route[number].cable.carries_data]  # fmt: skip
    gaps += _unsaid(job)
    if gaps:
        return ask(*gaps)
    if unproved:
        says = f"{job.route[unproved[0][0]].name}: a data pair lies {unproved[0][1]}."
        return for_the_designer(f"{says} Take a cable whose maker says that the pair is insulated for the mains "
                                "voltage or screened, with the screen earthed.", Working())  # fmt: skip
    apart = [section.name for section in job.route if section.enclosure.data_beside == "in a space of its own"]
    if sharing:
        sheet = Working()
        for number, how in sharing:
            sheet.remark(f"{job.route[number].name}: {how}, made for the mains voltage by what its maker says")
        return settled(True, "Where a data cable lies with the mains, it is made to stand its voltage.", sheet)
    if apart:
        return settled(True, f"The data cable has a space of its own: {', '.join(apart)}.", Working())
    return does_not_apply("No data cable shares a sheath, conduit or trunking with the charge point's cable.")


def _shared(section: Section) -> str:
    """How a data cable lies with the mains on this stretch; empty where none is said to."""
    if section.cable.carries_data:
        return "in the same sheath as the mains"
    return "in the same conduit or trunking as the mains" if section.enclosure.data_beside == SHARED else ""


def _unsaid(job: Job) -> list[str]:
    """What nobody said of the stretches of a job with a wired sensor."""
    gaps = []
    if any(sensor.link == "wired" for sensor in job.sensors):
        for number, section in enumerate(job.route):
            gaps += [f"route[{number}].cable.carries_data"] if section.cable.carries_data is None else []
            enclosed = section.method in ENCLOSED or section.enclosure.kind is not None
            if enclosed and section.enclosure.data_beside is None:
                gaps.append(f"route[{number}].enclosure.data_beside")
    return gaps
