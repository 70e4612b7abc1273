"""The questions of a screen's own form, filled in with what stands in the record or with what was typed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from ampwright.deliver.store.values import Values, leaves_of
from ampwright.deliver.web.controls import Control, control, kind_of, value_of
from ampwright.deliver.web.survey import boxes_typed
from ampwright.job.fields import in_words
from ampwright.job.files import Fault, values_of
from ampwright.job.record import Job

Faults = tuple[Fault, ...]


def controls(values: Values, paths: Iterable[str], typed: Mapping[str, str] | None = None,
             faults: Faults = ()) -> dict[str, Control]:  # fmt: skip
    """A question for each path. A reading that is not there yet stands ready to be typed as an exact value."""
    found = {}
    for path in paths:
        mine = tuple(each.says for each in faults if each.path == path or each.path.startswith(f"{path}."))
        own = boxes_typed(typed, path) if typed is not None else None
        each = control(values, path, asked=False, typed=own or None, faults=mine)
        if each.kind == "reading" and not own and each.typed["kind"] == "unseen":
            each = control(values, path, asked=False, typed={**each.typed, "kind": "exact"}, faults=mine)
        found[path] = each
    return found


def entry(place: str, names: Iterable[str], typed: Mapping[str, str]) -> dict[str, Any]:
    """A new entry of a list as a form describes it: what was filled in."""
    told = {name: value_of(kind_of(f"{place}.{name}"), boxes_typed(typed, f"{place}.{name}"), None) for name in names}
    return {name: value for name, value in told.items() if value is not None}


def faults_in_words(faults: Faults) -> tuple[str, ...]:
    """Each fault with the name of its field."""
    return tuple(f"{in_words(each.path)}: {each.says}" if each.path else each.says for each in faults)


def changes_to(job: Job, chosen: Job) -> dict[str, Any]:
    """The fields of the record that another job has otherwise."""
    before, after = (dict(leaves_of(values_of(each))) for each in (job, chosen))
    return {path: after.get(path) for path in dict.fromkeys((*before, *after)) if before.get(path) != after.get(path)}
