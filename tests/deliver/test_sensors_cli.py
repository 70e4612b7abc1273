"""The commands for sensors, run as a person runs them."""

import json
import re
import xml.etree.ElementTree as ElementTree

import pytest
from click.testing import CliRunner
from sensing import home, reading, three_phase, with_readings

from ampwright.assess.sensors.diagnosis import diagnose
from ampwright.assess.sensors.hide import hide
from ampwright.assess.sensors.placement import place
from ampwright.deliver.cli import ampwright
from ampwright.deliver.demo import demo_files
from ampwright.deliver.practice import ANSWERS, play, practice_job, short_answer
from ampwright.deliver.sensor_drawing import drawing
from ampwright.deliver.sensors import diagnosis_text, plan_text
from ampwright.job.files import parse
from ampwright.job.record import Installation, Point
from ampwright.job.writing import dump

TURNED = with_readings(home(), reading(1.2, 2.0), reading(-6.1, 2.0, car_a=32))


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(dump(TURNED), encoding="utf-8")
    return path


def run(*words, typed=""):
    return CliRunner().invoke(ampwright, [str(word) for word in words], input=typed)


def test_sensors_says_where_they_go_and_draws_it(file, tmp_path):
    svg = tmp_path / "line.svg"
    said = run("sensors", file, "--drawing", svg, "--working")
    assert said.exit_code == 0
    assert "the arrow points from the street to the house" in " ".join(said.output.split())
    assert "turned round" in said.output
    assert "beside live parts" in " ".join(said.output.split())
    assert ElementTree.fromstring(svg.read_text(encoding="utf-8")).tag.endswith("svg")


def test_sensors_as_json_keeps_its_shape(file):
    found = json.loads(run("sensors", file, "--json").output)
    assert set(found) == {"format", "assumed", "stretches", "moments", "sensors", "cautions"}
    assert set(found["sensors"][0]) == {
        "sensor", "watches", "line", "stretch", "says", "arrow", "channel", "sees", "misses", "reach", "shows_kw",
        "elsewhere", "lead",
    }  # fmt: skip
    assert len(found["sensors"][0]["shows_kw"]) == len(found["moments"])


def test_diagnose_ends_with_one_for_a_wrong_sensor(file):
    said = run("diagnose", file)
    assert said.exit_code == 1
    words = " ".join(said.output.split())
    assert "WRONG The grid sensor faces the wrong way" in words
    assert "should have risen by 7.4 and fell by 7.3" in words


def test_diagnose_as_json_keeps_its_shape(file):
    found = json.loads(run("diagnose", file, "--json").output)
    assert set(found) == {
        "format", "status", "sensors", "fits_ratio", "together_ratio", "changed", "proof", "notes", "next_tests",
        "cautions",
    }  # fmt: skip
    assert found["status"] == 1
    assert set(found["sensors"][0]) == {
        "sensor", "answer", "effect", "chance_ratio", "sentence", "causes", "reasons"
    }  # fmt: skip


@pytest.mark.parametrize("command", ["sensors", "diagnose"])
def test_what_cannot_be_judged_is_said_with_the_files_name(command, tmp_path):
    path = tmp_path / "bad.yaml"
    path.write_text("version: 2\ncircuit: {fed_from: shed}\n", encoding="utf-8")
    said = run(command, path)
    assert said.exit_code == 3
    assert "bad.yaml" in said.stderr
    assert "shed" in said.stderr


def test_diagnose_without_readings_asks_for_them(tmp_path):
    path = tmp_path / "bare.yaml"
    path.write_text(dump(home()), encoding="utf-8")
    said = run("diagnose", path)
    assert said.exit_code == 3
    assert "tests.sensing" in said.stderr


def test_the_drawing_has_a_title_a_description_and_a_ring_for_each_sensor():
    svg = ElementTree.fromstring(drawing(place(three_phase())))
    ns = "{http://www.w3.org/2000/svg}"
    named = (svg.attrib["aria-labelledby"] or "").split()
    assert [each.attrib["id"] for each in (svg.find(f"{ns}title"), svg.find(f"{ns}desc")) if each is not None] == named
    description = svg.find(f"{ns}desc")
    assert description is not None
    assert "grid L2: L2 of the meter tails" in (description.text or "")
    assert len(list(svg.iter(f"{ns}ellipse"))) == 4
    boxes = {(each.attrib["x"], each.attrib["y"]) for each in svg.iter(f"{ns}rect") if "x" in each.attrib}
    assert len(boxes) == 4  # meter, consumer unit, charge point, inverter: none on top of another


def test_a_name_cannot_break_the_drawing():
    job = home()
    sensor = type(job.sensors[0])(name="<b>&", watches="grid")
    ElementTree.fromstring(drawing(place(home(sensor))))


def test_the_proof_and_the_next_test_are_shown():
    taken = [reading(1.2, 2.0), reading(-6.1, 2.0, car_a=32), reading(-1.2, 2.0, changed="turned the grid sensor")]
    words = " ".join(diagnosis_text(diagnose(with_readings(home(), *taken))).split())
    assert "AFTER 'turned the grid sensor'" in words
    assert "The readings do not prove it yet." in words
    assert "NEXT TEST" in words
    taken.append(reading(6.1, 2.0, car_a=32))
    taken.append(reading(9.0, 0.0, car_a=32, inverter="off", known_load_kw=0.8))
    proved = " ".join(diagnosis_text(diagnose(with_readings(home(), *taken))).split())
    assert "reading 4 (the car at 32 A)" in proved


def test_a_job_without_sensors_says_so_and_warns_of_none():
    words = plan_text(place(type(home())()))
    assert "lists no sensors" in words
    assert "CAUTION" not in words


def test_diagnosis_warns_of_the_second_source_where_there_is_one():
    sunny = diagnosis_text(diagnose(with_readings(home(), reading(1.2, 2.0))))
    assert "a battery's terminals always" in " ".join(sunny.split())
    assert "second source" not in diagnosis_text(diagnose(with_readings(home(solar=False), reading(1.2))))


def test_the_ring_on_the_tails_stands_before_the_branches_part():
    points = tuple(Point(kind="board", name=name, fed_from="meter") for name in ("house board", "annex board"))
    svg = ElementTree.fromstring(drawing(place(home(installation=Installation(points=points)))))
    ns = "{http://www.w3.org/2000/svg}"
    ring = min(float(each.attrib["cx"]) for each in svg.iter(f"{ns}ellipse"))
    wires = [re.match(r"M(\d+) \d+ H(\d+)", each.attrib["d"]) for each in svg.iter(f"{ns}path")]
    from_meter = min(int(each[1]) for each in wires if each)
    assert all(int(each[2]) > ring for each in wires if each and int(each[1]) == from_meter)


def test_practice_by_script():
    typed = "car 32\nread\nask\nnonsense\ncar 99\nkettle on\nkettle off\ninverter off\nwait 5\nread\nquit\n"
    said = run("practice", "--seed", 3, typed=typed)
    assert said.exit_code == 1
    for words in ("Practice no. 3", "reading 1", "reading 2", "supplier's meter", "'nonsense' is not understood",
                  "'car 99' is not understood", "The truth:"):  # fmt: skip
        assert words in said.output
    assert run("practice", "--seed", 3, typed=typed).output == said.output


@pytest.mark.parametrize("level", ["first", "usual", "hard"])
def test_the_right_answer_ends_with_nought_and_a_wrong_one_with_one(level):
    home_of = hide(practice_job(3 if level == "hard" else 1), 7, surprises=level == "hard")
    right = "".join(f"{short_answer(truth.fault)}\n" for truth in home_of.truths.values())
    assert run("practice", "--seed", 7, "--level", level, typed=f"answer\nperhaps\n{right}").exit_code == 0
    wrong = "".join(f"{'dead' if short_answer(each.fault) != 'dead' else 'high'}\n" for each in home_of.truths.values())
    assert run("practice", "--seed", 7, "--level", level, typed=f"answer\n{wrong}").exit_code == 1


def test_asking_before_reading_is_answered():
    lines = iter(["ask", "quit"])
    said: list[str] = []
    play(hide(practice_job(1), 1), said.append, lambda _: next(lines))
    assert any("read first" in each for each in said)


def test_every_fault_has_an_answer():
    seen = {short_answer(truth.fault) for seed in range(150)
            for truth in hide(practice_job(3), seed).truths.values()}  # fmt: skip
    assert seen == set(ANSWERS)


def test_the_demo_house_has_a_sensor_that_faces_the_wrong_way():
    # the meter gives 0.9 kW out and 6.5 kW in, and the sensor shows both with the other sign; the solar sensor agrees
    # with the inverter's own display
    found = diagnose(parse(demo_files()["house_with_garage.yaml"]))
    words = " ".join(diagnosis_text(found).split())
    assert found.exit_status == 1
    assert "The supply sensor faces the wrong way" in words
    assert "The solar sensor is right" in words
