"""An assessment as JSON with a stable shape; `FORMAT` changes when the shape does."""

from __future__ import annotations

from typing import Any

from ampwright.assess.assessment import Assessment, Unknown
from ampwright.working import Check, Step, Verdict

FORMAT = 1


def as_json(assessment: Assessment) -> dict[str, Any]:
    """The whole assessment, ready for json.dumps."""
    return {
        "format": FORMAT,
        "title": assessment.job.title,
        "reference": assessment.job.reference,
        "edition": assessment.edition,
        "status": assessment.exit_status,
        "tally": {verdict.value: assessment.count(verdict) for verdict in Verdict},
        "checks": [check_json(check) for check in assessment.checks],
        "to_find_out": [_unknown(unknown) for unknown in assessment.to_find_out],
    }


def check_json(check: Check) -> dict[str, Any]:
    """One check with its working, ready for json.dumps."""
    return {
        "rule": check.rule,
        "clause": check.clause,
        "clause_trust": check.clause_trust.value,
        "edition": check.edition,
        "asks": check.asks,
        "verdict": check.verdict.value,
        "says": check.says,
        "needs": list(check.needs),
        "cautions": list(check.cautions),
        "trust": check.trust.value,
        "working": [step_as_json(step) for step in check.working],
    }


def step_as_json(step: Step) -> dict[str, Any]:
    """One line of working."""
    return {
        "under": step.under,
        "symbol": step.symbol,
        "value": step.value,
        "unit": step.unit,
        "formula": step.formula,
        "filled": step.filled,
        "source": step.source,
        "row": step.row,
        "trust": step.trust.value if step.trust else None,
    }


def _unknown(unknown: Unknown) -> dict[str, Any]:
    return {
        "path": unknown.path,
        "asked_by": list(unknown.asked_by),
        "settles": list(unknown.settles),
        "may_settle": list(unknown.may_settle),
    }
