"""What an operation changed, in the record and in what the checks say."""

from __future__ import annotations

from ampwright.deliver.store.history import Operation
from ampwright.deliver.store.store import Store
from ampwright.deliver.web.contexts import DonePage, Head, Turned
from ampwright.deliver.web.judging import judged


def page(store: Store, head: Head, told: tuple[Operation, ...], operation: Operation, undo_as: str) -> DonePage:
    """The answers just before an operation and just after it, side by side."""
    taken = tuple(each for each in operation.changes if not each.held)
    first = operation is told[-1]
    can_undo = bool(taken) and not first and not any(each.undoes == operation.id for each in told)
    read_in = tuple(f"{each.name}: {each.says}" for each in store.files.of_job(head.id).values()
                    if each.operation == operation.id)  # fmt: skip
    if not taken or first:
        return DonePage(head, operation, (), (), (), (), undo_as, can_undo, read_in)
    before = judged(store.read(head.id, taken[0].seq - 1)[0])
    after = judged(store.read(head.id, taken[-1].seq)[0])
    pairs = list(zip(before.checks, after.checks, strict=True))
    turned = tuple(Turned(new, old.verdict) for old, new in pairs if old.verdict is not new.verdict)
    reworded = tuple(new for old, new in pairs if old.verdict is new.verdict and old.says != new.says)
    asked_before, asked_after = ([each.path for each in one.to_find_out] for one in (before, after))
    return DonePage(head, operation, turned, reworded,
                    tuple(path for path in asked_after if path not in asked_before),
                    tuple(path for path in asked_before if path not in asked_after), undo_as, can_undo,
                    read_in)  # fmt: skip
