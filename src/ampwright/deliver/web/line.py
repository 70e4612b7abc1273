"""The line: the job drawn from the street to the car, each part a link to its survey."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from ampwright.deliver.web.parts import CLASSES, Part, Standing, parts
from ampwright.job.record import Job

ROW = 84
WIDTH = 358
TRUNK = 40
BRANCH = 92


@dataclass(frozen=True, slots=True)
class Row:
    """One part in the drawing: where its row begins, where its sign stands, and whether the line goes on beyond it."""

    standing: Standing
    top: int
    x: int
    branch: bool
    first: bool
    last: bool

    @property
    def middle(self) -> int:
        """The height of its sign."""
        return self.top + ROW // 2

    @property
    def text_x(self) -> int:
        """Where its words begin."""
        return self.x + 34

    @property
    def colour(self) -> str:
        """The class of its colour; the same is said in words."""
        return "absent" if self.standing.absent else CLASSES[self.standing.verdict]

    @property
    def asks(self) -> str:
        """How much is to be found out here, in words."""
        count = len(self.standing.asked)
        return f"{count} to find out" if count else "nothing to find out now"


@dataclass(frozen=True, slots=True)
class Line:
    """The drawing: its rows from top to bottom and its size."""

    rows: tuple[Row, ...]
    width: int = WIDTH
    trunk: int = TRUNK

    @property
    def height(self) -> int:
        """How tall it is."""
        return ROW * len(self.rows)


def line(job: Job, standings: dict[str, Standing]) -> Line:
    """The line of a job."""
    order = list(_order(job))
    trunks = [number for number, (_, branch) in enumerate(order) if not branch]
    return Line(tuple(Row(standings[part.id], number * ROW, BRANCH if branch else TRUNK, branch,
                          number == trunks[0], number == trunks[-1])
                      for number, (part, branch) in enumerate(order)))  # fmt: skip


def _order(job: Job) -> Iterator[tuple[Part, bool]]:
    """Each part and whether it joins from the side: after the part where it joins."""
    placed = [_joined(job, part) for part in parts().values()]
    for part in placed:
        if part.joins == "line":
            yield part, False
            yield from ((other, True) for other in placed if other.joins == part.id)


def _joined(job: Job, part: Part) -> Part:
    """Solar and storage that are fed from a split of the tails join there, and at the board otherwise."""
    splits = {each.name for each in job.installation.points if each.kind == "split"}
    fed_from = {"roof": job.generation.fed_from, "storage": job.storage.fed_from}.get(part.id)
    return replace(part, joins="tails") if fed_from in splits else part
