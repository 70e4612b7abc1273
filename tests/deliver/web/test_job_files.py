"""A job's own files by the page: put in where they are asked for, told back, given out, and read by the forecast."""

import datetime
import re
from html import unescape

import pytest
from meters import days
from signing import Browser

from ampwright.deliver.demo import METER, demo_files
from ampwright.deliver.own_files import FIELDS

NUMBERS = iter(range(10_000))


@pytest.fixture
def put(client, app):
    """Sends a file as the page does."""

    def sent(address, which, name, content, **form):
        job = address.rsplit("/", 1)[-1]
        data = {"base": str(app.state.site.store.read(job)[1]), "operation": f"operation-{next(NUMBERS)}", **form}
        answer = client.post(f"{address}/files/{which}", data=data, files={"file": (name, content)})
        answer.said = unescape(answer.text)
        return answer

    return sent


def kept(app, address):
    return tuple(app.state.site.store.files.of_job(address.rsplit("/", 1)[-1]))


def made(client, address):
    return unescape(client.post(f"{address}/sunshine", data={"years": "5", "goal": ""}).text)


def generation():
    """A year of quarter hours, 1 kW from ten to two."""
    first = datetime.datetime(2025, 1, 1)
    starts = [first + datetime.timedelta(minutes=15 * number) for number in range(365 * 96)]
    return "\n".join(["start,generation kW", *(f"{each:%Y-%m-%dT%H:%MZ},{int(10 <= each.hour < 14)}"
                                               for each in starts), ""]).encode()  # fmt: skip


@pytest.mark.parametrize(("part", "which"), [("board", "half-hourly"), ("roof", "generation"), ("site", "weather")])
def test_each_is_asked_for_at_its_part_and_all_on_the_forecast(client, terrace, part, which):
    page = client.get(f"{terrace}/part/{part}").text
    assert re.findall(r'action="/jobs/\w+/files/([\w-]+)"', page) == [which]
    assert re.findall(r'action="/jobs/\w+/files/([\w-]+)"', client.get(f"{terrace}/sunshine").text) == list(FIELDS)


def test_a_meter_file_is_told_back_judged_named_and_given_out(client, app, terrace, put, record):
    page = put(terrace, "half-hourly", "C:\\home\\meter of May.csv", days(2))
    assert (page.status_code, "What it changed" in page.said) == (200, True)
    says = "half-hourly readings from 2026-01-01 00:00 to 2026-01-03 00:00 by the British clock, 2 days"
    assert f"Read in from meter of May.csv: {says}; no half hour is missing." in page.said
    assert record(terrace).installation.half_hourly.csv == "meter of May.csv"
    assert record(terrace).installation.half_hourly.days_count == 2
    assert says[1:] in unescape(client.get(f"{terrace}/part/board").text)
    answer = client.get(f"{terrace}/files/half-hourly")
    assert (answer.content, answer.headers["content-type"]) == (days(2), "application/octet-stream")
    assert answer.headers["content-disposition"] == 'attachment; filename="meter of May.csv"'
    assert client.get(f"{terrace}/files/weather").status_code == client.get(f"{terrace}/files/x").status_code == 404


@pytest.mark.parametrize(("which", "content", "says"), [
    ("half-hourly", days(1).replace(b",0.003", b",three"), ("Mine.csv line 8: 'three'", "Mine.csv line 9: 'three'")),
    ("generation", b"start,generation kWh\nnever,1\n2025-01-01T10:00,-1\n", ("'never' is no time", "'-1' is no read")),
    ("generation", b"\xff\xfe", ("Mine.csv is not CSV in UTF-8",)),
    ("weather", b"nothing of the kind\n", ("Mine.csv cannot be read as EPW",)),
    ("half-hourly", b"", ("Choose a file first", )), ("half-hourly", b" \n", ("Mine.csv is empty",))])  # fmt: skip
def test_of_a_bad_file_everything_is_told_and_nothing_kept(client, app, terrace, put, record, which, content, says):
    before = record(terrace)
    page = put(terrace, which, "mine.csv" if content else "", content)
    assert (page.status_code, "Nothing was changed" in page.said) == (422, True)
    for each in says:
        assert each in page.said
    assert (record(terrace), kept(app, terrace)) == (before, ())


def test_a_file_that_is_too_long_or_sent_twice_or_beside_another_is_told(client, app, terrace, put):
    assert put(terrace, "half-hourly", "long.csv", b"1" * (17 * 1024 * 1024 + 1)).status_code == 413
    assert put(terrace, "nothing", "meter.csv", days(2)).status_code == 404
    base = str(app.state.site.store.read(terrace.rsplit("/", 1)[-1])[1])
    for _ in range(2):
        assert put(terrace, "half-hourly", "a.csv", days(2), base=base, operation="sent-twice").status_code == 200
    assert put(terrace, "half-hourly", "b.csv", days(3), base=base, operation="sent-twice").status_code == 409
    late = put(terrace, "half-hourly", "b.csv", days(3), base=base)
    assert (late.status_code, "Somebody put in a.csv since" in late.said) == (409, True)
    assert kept(app, terrace) == ("a.csv",)


def test_the_forecast_reads_them_and_another_file_is_another_forecast(client, app, house, put):
    before = made(client, house)
    assert f"{METER}: half-hourly readings from 2025-11-01 00:00" in before
    put(house, "generation", "roof.csv", generation())
    assert "Worked out from your own files" not in client.get(f"{house}/sunshine?years=5").text
    after = made(client, house)
    assert "roof.csv: readings of the generation every 15 min from 2025-01-01 00:00 to 2026-01-01 00:00 UTC" in after
    assert "the roof gives 4.0 kWh" in after  # 1 kW for four hours a day
    assert "the roof gives 4.0 kWh" not in before


def test_two_jobs_that_are_alike_but_for_what_is_in_their_files_share_no_forecast(client, app, house, put):
    text = client.get(f"{house}/file").text
    other = client.post("/jobs", data={"title": "", "text": text, "operation": "the-same-job"}).url.path
    page = unescape(client.get(f"{other}/sunshine").text)
    assert f"The job names the file {METER}, and it is not here" in page
    assert client.get(f"{other}/files/half-hourly").status_code == 404
    made(client, house)
    assert "By way of charging" not in client.get(f"{other}/sunshine?years=5").text
    assert f"The file {METER} is not here, so it is not used" in made(client, other)
    put(other, "half-hourly", METER, demo_files()[METER].encode())
    assert f"{METER}: half-hourly readings" in client.get(f"{other}/sunshine?years=5").text


@pytest.mark.parametrize("name", ["/etc/passwd", "../../etc/passwd"])
def test_a_record_that_names_a_file_of_the_server_reads_none(client, house, name):
    text = re.sub(r"csv: .*meter.csv", f"csv: {name}", client.get(f"{house}/file").text)
    other = client.post("/jobs", data={"title": "", "text": text, "operation": "names-elsewhere"}).url.path
    assert f"The file {name} is not here, so it is not used" in made(client, other)


def test_a_reader_and_another_firm_may_not(firms):
    owner = Browser(firms, "owner")
    home = owner.give("/jobs", title="Ours").headers["location"]
    data = {"form-token": owner.token(), "base": "1", "operation": "in-a-firm"}
    assert owner.post(f"{home}/files/half-hourly", data=data, files={"file": ("m.csv", days(2))}).status_code == 200
    assert owner.get(f"{home}/files/half-hourly").content == days(2)
    assert Browser(firms, "other-owner").get(f"{home}/files/half-hourly").status_code == 404
    reader = Browser(firms, "reader")
    data = {"form-token": reader.token(), "base": "1", "operation": "a-reader-01"}
    assert reader.get(f"{home}/files/half-hourly").content == days(2)
    assert "/files/half-hourly\" enctype" not in reader.get(f"{home}/sunshine").text
    assert reader.post(f"{home}/files/half-hourly", data=data, files={"file": ("m.csv", days(3))}).status_code == 403
