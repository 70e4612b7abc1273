"""The sensors' page: their places, and the test as a conversation."""

from html import unescape

import pytest

from ampwright.assess.sensors.diagnosis import diagnose
from ampwright.assess.sensors.placement import place
from ampwright.reading import measured


@pytest.fixture
def read(client, hidden, record):
    """Send a reading by the form of the page, as a browser would."""

    def sent(address, shown=(), **typed):
        told = hidden(client.get(f"{address}/sensors").text)
        here = f"tests.sensing[{len(record(address).tests.sensing)}]"
        figures = {f"{here}.shown[{number}].kw": kw for number, kw in enumerate(shown)}
        return client.post(f"{address}/sensors", data=told | figures | {f"{here}.{name.replace('__', '~')}": text
                                                                        for name, text in typed.items()})  # fmt: skip

    return sent


def meters(supply, inverter):
    return {"meter_kw__kind": "exact", "meter_kw__low": supply, "inverter_kw__kind": "exact",
            "inverter_kw__low": inverter}  # fmt: skip


def test_what_the_readings_prove_is_what_the_command_says(client, house, record):
    page = unescape(client.get(f"{house}/sensors").text)
    found = diagnose(record(house))
    assert [each.answer for each in found.sensors] == ["wrong", "right"]
    for each in found.sensors:
        assert each.sentence[1:] in page
        for why in each.reasons:
            assert why[1:] in page


def test_every_place_is_said_and_drawn(client, house, record):
    page = unescape(client.get(f"{house}/sensors").text)
    plan = place(record(house))
    for each in plan.placements:
        assert each.says[1:] in page
        assert each.reach in page
        for wrong in each.elsewhere:
            assert wrong.where[1:] in page
    for caution in plan.cautions:
        assert caution in page
    drawing = client.get(f"{house}/sensors/drawing.svg")
    assert drawing.headers["content-type"] == "image/svg+xml"
    assert drawing.text.startswith("<svg")


def test_the_conversation_begins_with_the_car_stopped(client, farm):
    page = unescape(client.get(f"{farm}/sensors").text)
    assert "Nothing was read yet" in page
    assert "The car stopped and everything else as it is." in page
    box = page[page.index('name="tests.sensing[0].car_a"'):]
    assert 'value="0"' in box[: box.index(">")]


def test_a_reading_is_kept_and_the_next_test_is_asked_for(read, farm, record):
    answer = read(farm, ("1.2", "0.8", "0.5"), at="10:00", car_a="0", inverter="off")
    page = unescape(answer.text)
    (kept,) = record(farm).tests.sensing
    shown = [("supply L1", 1.2), ("supply L2", 0.8), ("supply L3", 0.5)]
    assert [(each.sensor, each.kw) for each in kept.shown] == shown
    assert (kept.at, kept.car_a, kept.inverter) == ("10:00", 0, "off")
    assert answer.url.fragment == "so-far"
    words = diagnose(record(farm)).next_tests[0].words
    assert words[1:] in page


def test_another_of_the_next_tests_can_be_chosen(client, read, farm, record):
    read(farm, ("1.2", "0.8", "0.5"), at="10:00", car_a="0", inverter="off")
    tests = diagnose(record(farm)).next_tests
    assert len(tests) > 1
    page = unescape(client.get(f"{farm}/sensors?test=2").text)
    assert f'<p class="answer">{tests[1].words[0].upper()}{tests[1].words[1:]}.</p>' in page


def test_a_repair_is_proved(read, house, record):
    read(house, ("-0.9", "2.1"), at="10:20", car_a="0", inverter="running", changed="turned the supply sensor",
         **meters("-0.9", "2.1"))  # fmt: skip
    answer = read(house, ("6.5", "2.2"), at="10:24", car_a="32", inverter="running", **meters("6.5", "2.2"))
    found = diagnose(record(house))
    assert record(house).tests.sensing[3].meter_kw == measured(6.5)
    assert [each.answer for each in found.sensors] == ["right", "right"]
    assert "After “turned the supply sensor”" in unescape(answer.text)
    assert "no further test is wanted" in answer.text


@pytest.mark.parametrize(("typed", "says"), [
    ({"car_a": "60"}, "the car drew 60 A from a charge point rated 32 A"),
    ({"car_a": "0"}, "no display was read"),
    ({"car_a": "many", "shown": ("1", "2")}, "many"),
    ({"at": "09:30", "shown": ("1", "2")}, "put the readings in the order they were taken"),
    ({"shown": ("1,5", "2")}, "write 1.5"),
])  # fmt: skip
def test_what_cannot_be_judged_is_not_kept_and_what_was_typed_stays(read, house, record, typed, says):
    before = record(house)
    answer = read(house, **typed)
    page = unescape(answer.text)
    assert answer.status_code == 422
    assert says in page
    assert "Nothing was saved yet" in page
    for text in (value for value in typed.values() if isinstance(value, str)):
        assert f'value="{text}"' in page
    assert record(house) == before


def test_the_last_reading_can_be_taken_out(client, house, hidden, record):
    told = hidden(client.get(f"{house}/sensors").text)
    client.post(f"{house}/take-out", data={"base": told["base"], "operation": "t" * 32, "item": "tests.sensing[1]"})
    assert len(record(house).tests.sensing) == 1


def test_a_job_without_sensors_says_what_comes_first(client, terrace):
    page = client.get(f"{terrace}/sensors").text
    assert "The job lists no sensors yet" in page
    assert client.post(f"{terrace}/sensors", data={"tests.sensing[0].at": "10:00"}).status_code == 422


def test_how_sure_it_became_is_drawn_and_told(client, read, house, record):
    read(house, ("-0.9", "2.1"), at="10:20", car_a="0", inverter="running", changed="turned the supply sensor",
         **meters("-0.9", "2.1"))  # fmt: skip
    page = unescape(read(house, ("6.5", "2.2"), at="10:24", car_a="32", inverter="running",
                         **meters("6.5", "2.2")).text)  # fmt: skip
    drawn = client.get(f"{house}/sensors/chances.json").json()
    found = diagnose(record(house))
    for each, series in zip(found.sensors, drawn["series"], strict=True):
        assert series["words"] == each.sensor
        assert len(series["values"]) == 4
        assert series["values"][-1] == pytest.approx(100 * each.chance_ratio, abs=0.05)
    assert drawn["series"][0]["values"][1] < 1 < 99 < drawn["series"][0]["values"][3]
    assert f"After the last reading: {found.sensors[0].sensor} 9" in page
    assert '<tr><th scope="row">4</th>' in page


def test_there_is_no_chart_before_a_reading(client, farm):
    assert "How sure it became" not in client.get(f"{farm}/sensors").text
    assert client.get(f"{farm}/sensors/chances.json").json()["x"] == []


def test_two_readings_from_one_kept_page_are_two_and_a_repeat_is_none(client, farm, hidden, record):
    told = hidden(client.get(f"{farm}/sensors").text)
    here = "tests.sensing[0]"
    for operation, kw in (("reading-one", "1.2"), ("reading-two", "1.4"), ("reading-two", "1.4")):
        figures = {f"{here}.shown[{number}].kw": kw for number in range(3)}
        answer = client.post(f"{farm}/sensors", data=told | figures | {"operation": operation, f"{here}.car_a": "0"})
        assert answer.url.fragment == "so-far"
    assert [each.shown[0].kw for each in record(farm).tests.sensing] == [1.2, 1.4]
