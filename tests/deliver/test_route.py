"""The command `route` and its drawing, as a person runs them."""

import json
import subprocess
import sys
from dataclasses import replace
from importlib import resources
from xml.etree import ElementTree

import pytest
from sketches import cottage, on, pipe, sketched

from ampwright.assess.route.holes import Near
from ampwright.assess.route.routes import routes_for
from ampwright.deliver.demo import demo_files
from ampwright.deliver.drawing.sheet import drawing_svg
from ampwright.deliver.drawing.single_line import rows_of
from ampwright.deliver.drawing.view import SCALES, scale_for
from ampwright.deliver.route_machine import as_json
from ampwright.deliver.route_screen import routes_text
from ampwright.job.files import dump, parse
from ampwright.job.paths import replaced

SVG = "{http://www.w3.org/2000/svg}"


def run(*words, cwd):
    command = [sys.executable, "-m", "ampwright", *words]
    return subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def routes():
    pipes = (pipe("gas pipe", "gas", [(8180, 0, 300), (8180, 6000, 300)]),)
    return routes_for(sketched(services=pipes), None)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    where = tmp_path_factory.mktemp("jobs")
    assert run("demo", ".", cwd=where).returncode == 0
    return where


def test_a_sketch_survives_the_job_file():
    assert parse(dump(sketched())).sketch == cottage()


def test_the_demo_is_routed_and_drawn(folder):
    done = run("route", "house_with_garage.yaml", "--no-design", "--json", "--drawing", "out.svg", cwd=folder)
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    assert found["format"] == 1
    assert len(found["routes"]) > 1
    assert all(each["sections"] and each["holes"] for each in found["routes"])
    assert ElementTree.parse(folder / "out.svg").getroot().tag == f"{SVG}svg"


def test_a_typed_route_works_without_a_sketch(folder):
    done = run("route", "terrace.yaml", cwd=folder)
    assert done.returncode == 0, done.stderr
    assert "THE ROUTE THAT THE JOB HAS: 9.00 to 14.00 m in 2 stretches" in done.stdout
    assert "Needs the cheapest at 7.4 kW" in done.stdout
    assert "There is no sketch" in done.stdout
    # and nothing that only a sketch can give
    drawn = run("route", "terrace.yaml", "--no-design", "--drawing", "none.svg", cwd=folder)
    assert drawn.returncode == 3
    assert "there is no route 1 to draw or print: 0 found on the sketch" in drawn.stderr
    assert not (folder / "none.svg").exists()


def test_neither_a_sketch_nor_a_route_says_so(tmp_path):
    (tmp_path / "bare.yaml").write_text("version: 2\ntitle: bare\n", encoding="utf-8")
    done = run("route", "bare.yaml", cwd=tmp_path)
    assert done.returncode == 3
    assert "there is no wall in the sketch" in done.stderr


def test_the_yaml_of_a_route_can_be_put_into_the_job(folder):
    done = run("route", "house_with_garage.yaml", "--no-design", "--number", "2", "--yaml", cwd=folder)
    assert done.returncode == 0, done.stderr
    found = json.loads(run("route", "house_with_garage.yaml", "--no-design", "--json", cwd=folder).stdout)
    job = parse(f"version: 2\n{done.stdout}")
    second = found["routes"][1]["sections"]
    assert [each.name for each in job.route] == [each["name"] for each in second]
    lengths = [each.length_m for each in job.route]
    assert [[each.low, each.high] for each in lengths if each] == [each["length_m"] for each in second]


def test_the_text_has_sections_holes_and_cautions(routes):
    text = routes_text(routes, working=True)
    assert "through west, 300 mm" in text or "through east, 300 mm" in text
    assert "falling 5° to the outside" in text
    assert "Nearest gas pipe drawn" in text
    assert text.count("EVERY HOLE") == 1
    assert "CAUTION: Before a hole is made" in text
    assert "Lhole = " in text
    assert "nobody asked whether" in text.lower()


def test_the_json_says_what_the_routes_say(routes):
    found = as_json(routes)
    assert json.loads(json.dumps(found)) == found
    first = routes.found[0]
    assert found["routes"][0]["length_mm"] == round(first.way.length_mm, 1)
    assert found["routes"][0]["holes"][0]["drop_mm"] == pytest.approx(26.25, abs=0.01)


def test_the_drawing_is_to_scale(routes):
    """The outside of the cottage is 8300 by 6300 mm: the wall's outline on paper, times the scale."""
    root = ElementTree.fromstring(drawing_svg(routes).encode())
    assert root.get("width") == "420mm"
    assert root.get("viewBox") == "0 0 420 297"
    plan = next(each for each in root.iter(f"{SVG}g") if each.findtext(f"{SVG}title") == "Plan")
    scale = next(int((each.text or "").split("1:")[1].split()[0]) for each in plan.iter(f"{SVG}text")
                 if "1:" in (each.text or ""))  # fmt: skip
    outlines = [each.get("d", "") for each in plan.iter(f"{SVG}path") if each.get("fill-rule") == "evenodd"]
    spans = []
    for outline in outlines:
        numbers = [float(each.strip("ML")) for each in outline.split("Z")[0].split()]
        spans.append(((max(numbers[::2]) - min(numbers[::2])) * scale,
                      (max(numbers[1::2]) - min(numbers[1::2])) * scale))  # fmt: skip
    assert any(wide == pytest.approx(8300, abs=3) and tall == pytest.approx(6300, abs=3) for wide, tall in spans)


def marks(root, kind):
    return list(root.iter(f"{SVG}{kind}"))


def test_an_elevation_shows_where_the_hole_breaks_out():
    """Seen from outside the hole lies lower than within: 1100 mm and 1100 - 26 by the fall of 5 degrees in 300 mm."""
    there = sketched(board=on("east", "left", 3000, 1100), charge_point=on("east", "right", 3000, 1500))
    svg = drawing_svg(routes_for(there, None))
    root = ElementTree.fromstring(svg.encode())
    titles = [each.text for each in root.iter(f"{SVG}title")]
    (hole,) = routes_for(there, None).found[0].holes
    assert hole.entry.height_mm - hole.breakout.height_mm == pytest.approx(26.25, abs=0.01)
    assert "hole 1: breaks out here" in titles
    heights = {each.text for each in marks(root, "text")}
    assert f"{hole.breakout.height_mm:.0f}" in heights


@pytest.mark.parametrize("narrow", [False, True])
def test_every_word_and_mark_lies_on_the_paper(routes, narrow):
    root = ElementTree.fromstring(drawing_svg(routes, narrow=narrow).encode())
    wide, tall = map(float, root.get("viewBox", "").split()[2:])
    assert wide == (100 if narrow else 420)
    for each in marks(root, "text"):
        (x, y, size), words = (float(each.get(name, 0)) for name in ("x", "y", "font-size")), each.text or ""
        half = {"start": 0.0, "middle": 0.5, "end": 1.0}[each.get("text-anchor", "start")]
        # Arial's letters are about half as wide as tall
        assert x - half * 0.5 * size * len(words) >= -1, words
        assert x + (1 - half) * 0.5 * size * len(words) <= wide + 1, words
        assert 0 <= y <= tall, words
    assert len(marks(root, "path")) > 20


def test_a_second_route_can_be_drawn(routes):
    assert "route 2 of the" in drawing_svg(routes, 2)
    with pytest.raises(IndexError):
        drawing_svg(routes, len(routes.found) + 1)


def test_a_screen_reader_hears_all_of_it(routes):
    root = ElementTree.fromstring(drawing_svg(routes).encode())
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "title words"
    words = root.findtext(f"{SVG}desc") or ""
    for section in routes.found[0].job.route:
        assert section.name in words
    assert all(hole.breakout.set_out in words for hole in routes.found[0].holes)


def test_whatever_the_text_says_of_a_hole_stands_on_the_sheet_too(routes):
    near = Near("gas pipe", 104, 150)
    route = routes.found[0]
    told = {"near": (near,), "behind": ("Behind the board: isolate.",), "cable_mm": 16.6, "bit_mm": None}
    holes = tuple(replace(each, **told) for each in route.holes)
    warned = replace(routes, found=(replace(route, holes=holes),))
    for narrow in (False, True):
        root = ElementTree.fromstring(drawing_svg(warned, narrow=narrow).encode())
        printed = " ".join(each.text or "" for each in marks(root, "text"))
        for words in (printed, root.findtext(f"{SVG}desc") or ""):
            assert "Gas pipe is 104 mm clear at the worst; 150 mm is wanted: too near, move the hole." in words
            assert "Behind the board: isolate." in words
            assert "find a longer bit, or core the hole" in words


def test_gas_drawn_too_near_to_the_charge_point_is_told_in_text_and_on_the_sheet():
    riser = pipe("gas riser", "gas", [(8171, 2840, 0), (8171, 2840, 2400)])
    place = on("east", "right", 3000, 1100, width_mm=250, tall_mm=400)
    found = routes_for(sketched(services=(riser,), charge_point=place), None)
    words = "Gas riser is drawn 24 mm from the charge point; 150 mm is wanted"
    assert words in " ".join(routes_text(found).split())
    root = ElementTree.fromstring(drawing_svg(found).encode())
    assert words in (root.findtext(f"{SVG}desc") or "")
    assert words in " ".join(each.text or "" for each in marks(root, "text"))


def test_the_sheet_tells_what_the_trench_crosses():
    water = pipe("water", "water", [(10000, -9000, -1000), (10000, 20000, -1000)])
    found = routes_for(sketched(services=(water,), charge_point=on("garden wall", "left", 2000, 1000)), None)
    root = ElementTree.fromstring(drawing_svg(found).encode())
    # the trench lies at 600, the pipe's top at 1000 - 11
    assert "by the sketch 389 mm apart in height" in " ".join(each.text or "" for each in marks(root, "text"))


def test_a_riser_is_drawn_on_plan_and_on_the_wall_though_it_goes_above_what_is_shown():
    riser = pipe("gas riser", "gas", [(8171, 2500, 0), (8171, 2500, 2400)])
    place = on("east", "right", 3000, 1100, width_mm=250, tall_mm=400)
    found = routes_for(sketched(services=(riser,), charge_point=place), None)
    root = ElementTree.fromstring(drawing_svg(found).encode())
    views = {each.findtext(f"{SVG}title"): each for each in root.iter(f"{SVG}g")}
    for name in ("Plan", next(each for each in views if each and "east, outdoors" in each)):
        assert "gas: gas riser" in [each.text for each in views[name].iter(f"{SVG}title")]
        assert "gas riser" in [each.text for each in marks(views[name], "text")]


def test_the_words_of_many_holes_find_room(routes):
    route = routes.found[0]
    many = replace(routes, found=(replace(route, holes=route.holes * 9),))
    root = ElementTree.fromstring(drawing_svg(many).encode())
    tall = float(root.get("viewBox", "").split()[3])
    assert tall > 297
    assert all(float(each.get("y", 0)) <= tall for each in marks(root, "text"))


@pytest.mark.parametrize(
    ("earthed_by", "fitted", "at_board", "below"),
    [("supply", True, True, False), ("own electrode", True, False, True), ("own electrode", False, False, True),
     ("supply", False, False, False), (None, True, True, False)],
)  # fmt: skip
def test_the_electrode_stands_where_the_circuit_is_earthed(routes, earthed_by, fitted, at_board, below):
    changes = {"circuit.earthed_by": earthed_by, "electrode.fitted": fitted}
    job = routes.job
    for path, value in changes.items():
        job = replaced(job, path, value)
    rows = rows_of(job, routes.found[0])
    board = next(lines for _, lines in rows if lines[0] == "board")
    words = "earth electrode of the installation" if earthed_by == "supply" else "earth electrode: of what, not said"
    assert (words in board) is at_board
    assert any("electrode" in each for each in board) is at_board
    assert (rows[-1] == (True, ["earth electrode"])) is below


def test_print_needs_no_colour_and_no_small_letters(routes):
    root = ElementTree.fromstring(drawing_svg(routes).encode())
    inks = {each.get(name) for each in root.iter() for name in ("stroke", "fill") if each.get(name)}
    assert inks <= {"black", "white", "none", "#cfcfcf", "#eeeeee", "#f4f4f4"}
    assert min(float(each.get("font-size", "0")) for each in root.iter(f"{SVG}text")) >= 2.4


def test_names_are_escaped():
    job = sketched(charge_point=on("garden wall", "left", 2000, 1000))
    odd = routes_for(parse(dump(job).replace("name: lawn\n", 'name: "<b> & lawn"\n', 1)), None)
    ElementTree.fromstring(drawing_svg(odd).encode())


@pytest.mark.parametrize(("wide", "tall", "scale"), [(27000, 5000, 100), (1000, 1000, 10), (271000, 1, 1000)])
def test_the_scale_is_the_largest_that_fits(wide, tall, scale):
    assert scale_for(wide, tall, 271, 134) == scale
    assert scale in SCALES


def test_the_leads_of_wired_sensors_are_drawn_and_told():
    routes = routes_for(parse(demo_files()["house_with_garage.yaml"]), None)
    assert {each.name for each in routes.sensors} == {"supply sensor", "solar sensor"}
    root = ElementTree.fromstring(drawing_svg(routes).encode())
    for run in routes.sensors:
        assert run.way is not None
        drawn = [each.text or "" for each in root.iter(f"{SVG}title") if each.text and run.name in each.text]
        lengths = [float(each.rsplit(": ", 1)[1].removesuffix(" mm")) for each in drawn if each.startswith("lead of")]
        assert sum(lengths) == pytest.approx(run.way.length_mm, abs=len(lengths))
        assert f"lead of the {run.name} runs {run.way.length_mm / 1000:.1f} m" in (root.findtext(f"{SVG}desc") or "")


def test_own_efforts_and_bits_are_used_and_said(folder):
    source = resources.files("ampwright.assess.route")
    (folder / "mine.csv").write_text(source.joinpath("effort.csv").read_text().replace("lawn,20,", "lawn,60,"))
    (folder / "bits.csv").write_text(source.joinpath("bits.csv").read_text().replace("final,25,", "final,26,"))
    seek, own = ("route", "house_with_garage.yaml", "--no-design"), ("--efforts", "mine.csv", "--bits", "bits.csv")
    plain = run(*seek, cwd=folder).stdout
    done = run(*seek, *own, cwd=folder)
    assert "Efforts and tools are those that come with the program" in plain
    assert "Efforts and bits are your own." in done.stdout
    assert "then 26 mm" in done.stdout
    assert "then 26 mm" not in plain
    loaded = run("materials", "house_with_garage.yaml", "--bits", "bits.csv", cwd=folder)
    assert "26 mm bit, 400 mm usable" in loaded.stdout


def test_bad_efforts_and_bad_bits_are_told_together(folder):
    (folder / "bad.csv").write_text("name,value,unit,note\n")
    done = run("route", "house_with_garage.yaml", "--efforts", "bad.csv", "--bits", "none.csv", cwd=folder)
    assert done.returncode == 3
    assert "there is no row named bend" in done.stderr
    assert "none.csv cannot be read as a list of bits" in done.stderr
