"""The sketch by its forms: a house drawn thing by thing is the house of the file."""

import re
from html import unescape
from xml.etree import ElementTree

import pytest

from ampwright.deliver.store.values import value_at
from ampwright.deliver.web.controls import boxes, kind_of
from ampwright.deliver.web.screens.sketch_forms import KINDS, PLACES, questions
from ampwright.job.files import values_of


@pytest.fixture
def send(client, hidden):
    """Send the form of a thing as a browser would, with some boxes changed; the answer."""

    def sent(job, address, **typed):
        page = client.get(f"{job}/sketch/{address}")
        assert page.status_code == 200
        place = re.findall(r'name="(sketch\.[^"~]+?\.(?:name|wall))', page.text)[0].rsplit(".", 1)[0]
        named = {f"{place}.{name.replace('__', '.')}": text for name, text in typed.items()}
        return client.post(f"{job}/sketch/{address}", data=hidden(page.text) | named, follow_redirects=False)

    return sent


def as_typed(values, place):
    """The boxes of a thing as somebody would fill them to say what stands in a record."""
    single, rows = questions(place)
    found = {}
    for path in single:
        for box, text in boxes(kind_of(path), value_at(values, path)).items():
            found[f"{path}~{box}" if box else path] = text
    for path, columns in rows.items():
        lines = value_at(values, path) or []
        found[path] = "\n".join("  ".join(str(line[column]) for column in columns) for line in lines)
    return found


def test_a_house_drawn_by_the_forms_is_that_of_the_file(client, hidden, house, terrace, record):
    drawn = values_of(record(house))
    for kind in KINDS:
        for number in range(len(drawn["sketch"].get(kind, []))):
            page = client.get(f"{terrace}/sketch/{kind}/{number}").text
            typed = hidden(page) | as_typed(drawn, f"sketch.{kind}[{number}]")
            answer = client.post(f"{terrace}/sketch/{kind}/{number}", data=typed, follow_redirects=False)
            assert answer.status_code == 303, unescape(answer.text)
    for which in PLACES:
        page = client.get(f"{terrace}/sketch/places/{which}").text
        typed = hidden(page) | as_typed(drawn, f"sketch.{which}")
        assert client.post(f"{terrace}/sketch/places/{which}", data=typed, follow_redirects=False).status_code == 303
    assert record(terrace).sketch == record(house).sketch


def test_a_form_that_was_only_looked_at_changes_nothing(client, hidden, house, record):
    before = client.app.state.site.store.read(house.rsplit("/", 1)[-1])
    drawn = values_of(before[0])
    for place in ("walls/0", "places/board", "services/0", "rooms/0"):
        kind, which = place.split("/")
        path = f"sketch.{which}" if kind == "places" else f"sketch.{kind}[{which}]"
        typed = hidden(client.get(f"{house}/sketch/{place}").text) | as_typed(drawn, path)
        client.post(f"{house}/sketch/{place}", data=typed)
    assert client.app.state.site.store.read(house.rsplit("/", 1)[-1]) == before


def test_a_wall_begins_where_the_last_one_ended(client, send, terrace):
    send(terrace, "walls/0", name="front wall", start__x_mm="0", start__y_mm="0", end__x_mm="4500", end__y_mm="120")
    page = client.get(f"{terrace}/sketch/walls/1").text
    boxes = dict(re.findall(r'name="sketch\.walls\[1\]\.([\w.]+)"[^>]*value="([^"]*)"', page))
    assert (boxes["start.x_mm"], boxes["start.y_mm"], boxes["end.x_mm"]) == ("4500", "120", "")


def test_everything_wrong_is_said_at_once_and_nothing_typed_is_lost(client, send, terrace, record):
    answer = send(terrace, "rooms/0", name="", floor_mm="low", corners="0, 0\n4000\n4000, 3000, 7\n")
    page = unescape(answer.text)
    assert answer.status_code == 422
    assert "Line 2, “4000”: write 2 entries, as 0, 0" in page
    assert "Line 3, “4000, 3000, 7”: write 2 entries, as 0, 0" in page
    assert 'value="low"' in page
    assert "4000, 3000, 7\n</textarea>" in page
    assert page.count('class="fault"') >= 4
    assert record(terrace).sketch.rooms == ()


def test_what_keeps_a_way_from_being_sought_is_said(client, send, terrace, house):
    assert "Before a way can be sought" not in client.get(f"{house}/sketch").text
    assert "Before a way can be sought" not in client.get(f"{terrace}/sketch").text
    send(terrace, "walls/0", name="front wall", start__x_mm="0", start__y_mm="0", end__x_mm="4500", end__y_mm="0",
         thickness_mm="", may_drill="true")  # fmt: skip
    page = unescape(client.get(f"{terrace}/sketch").text)
    assert "Before a way can be sought" in page
    assert "charge point" in page


def test_a_thing_is_taken_out(client, send, house, record):
    names = [each.name for each in record(house).sketch.openings]
    page = client.get(f"{house}/sketch/openings/0").text
    base = re.findall(r'name="base" value="(\d+)"', page)[0]
    client.post(f"{house}/take-out", data={"base": base, "item": "sketch.openings[0]"})
    assert [each.name for each in record(house).sketch.openings] == names[1:]


@pytest.mark.parametrize("address", ["walls/99", "walls/-1", "walls/x", "cupboards/0", "places/walls", "places/0"])
def test_what_is_not_there(client, house, address):
    assert client.get(f"{house}/sketch/{address}").status_code == 404
    assert client.post(f"{house}/sketch/{address}", data={"base": "1"}).status_code == 404


def test_the_plan_draws_each_wall_and_place_and_says_them(client, house, record):
    drawn = ElementTree.fromstring(client.get(f"{house}/sketch/plan.svg").text)
    titles = {each.text for each in drawn.iter("{http://www.w3.org/2000/svg}title")}
    sketch = record(house).sketch
    assert {each.name for each in (*sketch.rooms, *sketch.ground)} <= titles
    assert {f"wall {count}: {each.name}" for count, each in enumerate(sketch.walls, start=1)} <= titles
    assert {"board", "charge point"} <= titles
    said = drawn.findtext("{http://www.w3.org/2000/svg}desc", "")
    assert all(each.name in said for each in sketch.walls)


def test_a_sketch_with_nothing_in_it_is_drawn_too(client, terrace):
    drawn = client.get(f"{terrace}/sketch/plan.svg")
    assert "Nothing is drawn yet." in drawn.text


def test_a_name_is_text_and_nothing_else(client, send, terrace):
    send(terrace, "walls/0", name="<b>&\"'</b>", start__x_mm="0", start__y_mm="0", end__x_mm="1", end__y_mm="0")
    ElementTree.fromstring(client.get(f"{terrace}/sketch/plan.svg").text)
    assert "<b>" not in client.get(f"{terrace}/sketch").text
