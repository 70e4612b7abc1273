"""Leads of wired sensors, and what ties them up."""

from __future__ import annotations

from ampwright.assess.materials.allowances import allowances
from ampwright.assess.materials.gathering import Gathering, plus, scaled, whole
from ampwright.assess.materials.items import exactly
from ampwright.job.record import Job

LEAD = "sensor lead, twisted and screened pair"


def take_leads(job: Job, to: Gathering) -> None:
    """One lead for each wired sensor; a data pair in the charge point's cable is not reckoned off."""
    wired = [(number, each) for number, each in enumerate(job.sensors) if each.link == "wired"]
    to.unknown(*(f"sensors[{number}].link" for number, each in enumerate(job.sensors) if each.link is None))
    for number, sensor in wired:
        path = f"sensors[{number}].lead_m"
        if sensor.lead_m is None:
            to.unknown(path)
            continue
        to.item(LEAD, LEAD, plus(sensor.lead_m, exactly(allowances()["lead_slack"])), f"lead of {sensor.name}", path)
        ties = whole(scaled(sensor.lead_m, 1 / allowances()["tie_spacing"]))
        to.item("cable tie", "cable tie", ties, f"every {allowances()['tie_spacing'] * 1000:g} mm of lead", path)
    if wired and any(section.cable.carries_data for section in job.route):
        to.remark("The charge point's cable carries a data pair: of a sensor's lead buy what the pair does not cover.")
