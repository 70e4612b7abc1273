"""Leads of wired sensors, what ties them up, and whether they may lie with the mains."""

from __future__ import annotations

from ampwright.assess.materials.allowances import allowances
from ampwright.assess.materials.gathering import Gathering, plus, scaled, whole
from ampwright.assess.materials.items import exactly
from ampwright.job.record import Job
from ampwright.rules.gb.segregation import data_kept_apart
from ampwright.working import Verdict

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


def take_segregation(job: Job, to: Gathering) -> None:
    """What the rule says of a data cable in the same sheath, conduit or trunking, or what it asks."""
    finding = data_kept_apart(job)
    if finding.needs:
        to.unknown(*finding.needs)
    elif finding.verdict is not Verdict.DOES_NOT_APPLY:
        to.remark(f"Data cable beside the mains (BS 7671 528.1), {finding.verdict.value}: {finding.says}")
