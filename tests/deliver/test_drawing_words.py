"""No two words on a drawing of a demo job lie on one another."""

import itertools
from xml.etree import ElementTree

import pytest

from ampwright.assess.route.routes import routes_for
from ampwright.deliver.demo import JOBS, demo_files
from ampwright.deliver.drawing.pen import width_mm
from ampwright.deliver.drawing.sheet import drawing_svg
from ampwright.job.files import parse

TEXT = "{http://www.w3.org/2000/svg}text"
SKETCHED = [name for name in JOBS if parse(demo_files()[name]).sketch.walls]
TALL_RATIO = 0.72  # a figure or a capital of a usual sans-serif face, in its size


def box(mark):
    size_mm, left, foot = (float(mark.get(each)) for each in ("font-size", "x", "y"))
    wide_mm = width_mm(mark.text, size_mm)
    left -= {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.get("text-anchor", "start")] * wide_mm
    return (left, foot - TALL_RATIO * size_mm, left + wide_mm, foot)


def overlap(one, two):
    return min(one[2], two[2]) > max(one[0], two[0]) and min(one[3], two[3]) > max(one[1], two[1])


def collisions(svg):
    marks = [(mark.text, box(mark)) for mark in ElementTree.fromstring(svg).iter(TEXT) if mark.text]
    assert len(marks) > 20
    return [(a, b) for (a, one), (b, two) in itertools.combinations(marks, 2) if overlap(one, two)]


def test_two_words_on_one_another_are_seen():
    marks = [f'<text x="{10 + number}" y="5" font-size="2.8">444</text>' for number in (0, 1)]
    others = [f'<text x="0" y="{20 + 5 * number}" font-size="2.8">650</text>' for number in range(20)]
    svg = f'<svg xmlns="http://www.w3.org/2000/svg">{"".join(marks + others)}</svg>'
    assert collisions(svg) == [("444", "444")]


@pytest.mark.parametrize("narrow", [False, True])
@pytest.mark.parametrize("name", SKETCHED)
def test_no_words_overlap_on_any_drawing_of_the_demo_jobs(name, narrow):
    routes = routes_for(parse(demo_files()[name]), None)
    for number in range(1, len(routes.found) + 1):
        assert collisions(drawing_svg(routes, number, narrow=narrow)) == [], f"route {number}"
