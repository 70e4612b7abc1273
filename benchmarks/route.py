"""How long the search for routes takes on a sketch of 200 elements, as ratios measured in one run.

The sketch is drawn by a seeded hand: a terrace of rooms with doors, windows, boxes and pipes, a garden with beds, and a
wall far off for the charge point; heights to 10 mm, as a tape reads them. Counted are walls, rooms, ground, openings,
obstacles, keep-outs and services. Beside the whole search stand its parts, and networkx on the very same graph for one
search of the same kind; and what `ampwright route` takes on the demo job with a design for each route.
"""

from __future__ import annotations

import os
import random
import tempfile
import time
from pathlib import Path

import networkx
import numpy as np
from timing import median_s

from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.route.graph import Graph, graph_of
from ampwright.assess.route.routes import routes_for, ways_for
from ampwright.deliver.demo import write_demo
from ampwright.job.files import load
from ampwright.job.record import Job
from ampwright.job.sketch import (
    Corner,
    GroundArea,
    KeepOut,
    Obstacle,
    Opening,
    PipePoint,
    Place,
    Room,
    Service,
    Sketch,
    Wall,
)
from ampwright.reading import measured

WANTED_S, WANTED_COUNT, SEED, RUNS_COUNT, ROOMS_COUNT = 1.0, 200, 4, 5, 12
WIDE_MM, DEEP_MM = 4000.0, 5000.0


def wall(name: str, start: tuple[float, float], end: tuple[float, float], thickness_mm: float) -> Wall:
    """A wall between two points."""
    (x, y), (xx, yy) = start, end
    return Wall(name=name, start=Corner(x_mm=x, y_mm=y), end=Corner(x_mm=xx, y_mm=yy),
                thickness_mm=measured(thickness_mm), top_mm=2600)  # fmt: skip


def box(x_mm: float, y_mm: float, xx_mm: float, yy_mm: float) -> tuple[Corner, ...]:
    """The corners of a rectangle."""
    return tuple(Corner(x_mm=x, y_mm=y) for x, y in ((x_mm, y_mm), (xx_mm, y_mm), (xx_mm, yy_mm), (x_mm, yy_mm)))


def garden(draw: random.Random, long_mm: float) -> tuple[list[KeepOut], list[Service]]:
    """Beds in the garden and pipes on the walls."""
    beds = [KeepOut(name=f"bed {n}", corners=box(x, y, x + draw.uniform(300, 1500), y + draw.uniform(300, 1500)))
            for n in range(30) for x, y in [(draw.uniform(0, long_mm), draw.uniform(-13000, -3000))]]  # fmt: skip
    pipes = [pipe(n, round(draw.uniform(200, 2300), -1), n * WIDE_MM, draw.choice((180.0, DEEP_MM - 180)))
             for n in range(ROOMS_COUNT)]  # fmt: skip
    pipes += [pipe(n + 20, round(draw.uniform(200, 2300), -1), n * WIDE_MM, -170.0) for n in range(ROOMS_COUNT)]
    return beds, pipes


def boxes_on(draw: random.Random, long_mm: float) -> list[Obstacle]:
    """Boxes low and high on the long walls."""
    return [Obstacle(name=f"box {n}", place=Place(
                wall=draw.choice(("south", "north")), side=draw.choice(("left", "right")),
                along_mm=draw.uniform(400, long_mm - 400),
                height_mm=round(draw.uniform(*draw.choice(((200, 700), (2300, 2500)))), -1),
                width_mm=draw.uniform(100, 500), tall_mm=round(draw.uniform(100, 500), -1)))
            for n in range(85)]  # fmt: skip


def openings(draw: random.Random) -> tuple[Opening, ...]:
    """Doors in the partitions and windows in the long walls."""
    doors = [Opening(name=f"door {n}", kind="door", wall=f"partition {n}", along_mm=draw.uniform(500, 3500), sill_mm=0,
                     width_mm=800, tall_mm=2000) for n in range(1, ROOMS_COUNT)]  # fmt: skip
    windows = [Opening(name=f"window {side} {n}", kind="window", wall=side,
                       along_mm=n * WIDE_MM + draw.uniform(600, 1800), sill_mm=round(draw.uniform(800, 1100), -1),
                       width_mm=draw.uniform(900, 1500), tall_mm=1100)
               for side in ("south", "north") for n in range(ROOMS_COUNT)]  # fmt: skip
    return (*doors, *windows)


def sketch() -> Sketch:
    """The sketch of at least 200 elements."""
    draw = random.Random(SEED)
    long_mm = ROOMS_COUNT * WIDE_MM
    outer = (wall("south", (0, 0), (long_mm, 0), 300), wall("east", (long_mm, 0), (long_mm, DEEP_MM), 300),
             wall("north", (long_mm, DEEP_MM), (0, DEEP_MM), 300),
             wall("west", (0, DEEP_MM), (0, 0), 300))  # fmt: skip
    inner = tuple(wall(f"partition {n}", (n * WIDE_MM, 0), (n * WIDE_MM, DEEP_MM), 100) for n in range(1, ROOMS_COUNT))
    rooms = tuple(Room(name=f"room {n}", corners=box(n * WIDE_MM, 0, (n + 1) * WIDE_MM, DEEP_MM))
                  for n in range(ROOMS_COUNT))  # fmt: skip
    holes, boxes, (beds, pipes) = openings(draw), boxes_on(draw, long_mm), garden(draw, long_mm)
    return Sketch(
        walls=(*outer, *inner, wall("far", (0, -15000), (long_mm, -15000), 215)),
        rooms=rooms,
        ground=(GroundArea(name="garden", surface="lawn", corners=box(-500, -14890, long_mm + 500, -150)),),
        openings=holes,
        obstacles=tuple(boxes),
        keep_outs=tuple(beds),
        services=tuple(pipes),
        board=Place(wall="west", side="left", along_mm=2500, height_mm=1800),
        charge_point=Place(wall="far", side="left", along_mm=long_mm - 3000, height_mm=1100),
    )


def pipe(number: int, height_mm: float, x_mm: float, y_mm: float) -> Service:
    """A short level pipe on a wall."""
    ends = tuple(PipePoint(x_mm=x_mm + far, y_mm=y_mm, height_mm=height_mm) for far in (700.0, 1700.0))
    return Service(name=f"pipe {number}", kind="gas" if number % 2 else "water", points=ends)


def count(drawn: Sketch) -> int:
    """How many elements there are."""
    kinds = (drawn.walls, drawn.rooms, drawn.ground, drawn.openings, drawn.obstacles, drawn.keep_outs, drawn.services)
    return sum(len(each) for each in kinds)


def witness(graph: Graph) -> networkx.Graph:
    """The same points and free ways in networkx."""
    found, free = networkx.Graph(), np.flatnonzero(graph.table.blocker == 0)
    columns = (graph.table.one[free].tolist(), graph.table.two[free].tolist(), graph.table.effort_min[free].tolist())
    found.add_weighted_edges_from(zip(*columns, strict=True))
    return found


def designed_s(*, whole: bool) -> float:
    """The routes of the demo job with their designs, once."""
    with tempfile.TemporaryDirectory() as folder:
        write_demo(Path(folder))
        job, catalogue = load(Path(folder) / "house_with_garage.yaml"), read_catalogue()
        return median_s(lambda: routes_for(job, catalogue, whole=whole), 1)


def main() -> None:
    """Print the table."""
    job = Job(sketch=sketch())
    start = time.perf_counter()
    graph, ways = ways_for(job)
    cold_s = time.perf_counter() - start
    whole_s = median_s(lambda: ways_for(job), RUNS_COUNT)
    begun_s = time.process_time()
    ways_for(job)
    own_s = time.process_time() - begun_s
    built_s = median_s(lambda: graph_of(job.sketch, (job.sketch.board, job.sketch.charge_point)), RUNS_COUNT)
    weights = graph.weights(graph.table.blocker == 0, graph.table.effort_min)
    one_s = median_s(lambda: graph.searched(graph.ends[0], weights), RUNS_COUNT)
    other = witness(graph)
    other_s = median_s(lambda: networkx.single_source_dijkstra_path_length(other, graph.ends[0]), 1)
    here = count(job.sketch)
    print(f"{here} elements ({here / WANTED_COUNT:.2f} of 200), {len(graph.xyz_mm):,} points, "
          f"{len(graph.table.one):,} ways, {len(ways)} routes; load {os.getloadavg()[0]:.1f} on {os.cpu_count()} "
          "processors")  # fmt: skip
    print(f"  cold                 {cold_s:8.3f} s  = {cold_s / WANTED_S:5.2f} of 1 s")
    print(f"  warm                 {whole_s:8.3f} s  = {whole_s / WANTED_S:5.2f} of 1 s")
    print(f"  processor's own time {own_s:8.3f} s  = {own_s / WANTED_S:5.2f} of 1 s, whatever else the machine does")
    print(f"  graph alone          {built_s:8.3f} s  = {built_s / whole_s:5.2f} of warm")
    print(f"  one search           {one_s:8.3f} s  = {one_s / whole_s:5.2f} of warm; "
          f"networkx takes {other_s / one_s:.0f} x as long")  # fmt: skip
    quick_s, all_s = designed_s(whole=False), designed_s(whole=True)
    print(f"  demo with designs    {quick_s:8.3f} s  = {quick_s / all_s:5.2f} of the {all_s:.1f} s with the whole "
          "catalogue for each route")  # fmt: skip


if __name__ == "__main__":
    main()
