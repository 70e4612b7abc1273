"""The answers of the API are the documents of the commands, in the shapes that are told, on the demo jobs."""

import datetime
import json
from dataclasses import replace

import pytest
from catalogues import written
from command import run
from jobs_sent import API, SMALL, change, operation
from jsonschema import Draft202012Validator

from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.paperwork.priced import shipped
from ampwright.deliver import design_machine, machine, survey_machine
from ampwright.deliver.figures import Figures
from ampwright.deliver.web.api import answers, examples, router, working_out
from ampwright.deliver.web.judging import judged
from ampwright.facts import all_tables
from ampwright.job.files import built, schema

HOUSE, FARM, TERRACE = "D-001", "D-002", "D-003"
QUICK = ("assessment", "sensors", "materials", "tests", "due", "load-cap", "routes?design=false")
COMMANDS = {"assessment": ("assess",), "sensors": ("sensors",), "materials": ("materials",), "tests": ("tests",),
            "load-cap": ("loadcap",), "routes?design=false": ("route", "--no-design"),
            "diagnosis": ("diagnose",)}  # fmt: skip
FILES = {HOUSE: "house_with_garage.yaml", FARM: "farmhouse.yaml", TERRACE: "terrace.yaml"}


def told(address, document):
    """That a document has the shape that is told for this address."""
    path = f"{API}/jobs/{{job}}/{address.partition('?')[0]}"
    content = router.document()["paths"][path]["get"]["responses"]["200"]["content"]["application/json"]
    whole = {**content["schema"], "components": router.document()["components"]}
    found = Draft202012Validator(whole).iter_errors(document)
    assert [f"{each.json_path}: {each.message}"[:200] for each in found] == []


@pytest.mark.parametrize("reference", FILES)
@pytest.mark.parametrize("answer", QUICK)
def test_answers_have_the_shape_that_is_told(demo, reference, answer):
    client, ids = demo
    given = client.get(f"{API}/jobs/{ids[reference]}/{answer}")
    assert given.status_code == 200
    told(answer, given.json())


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The demo jobs as files."""
    made = tmp_path_factory.mktemp("files")
    assert run("demo", ".", cwd=made).returncode == 0
    return made


@pytest.mark.parametrize("answer", COMMANDS)
def test_the_commands_print_the_same(demo, folder, answer):
    client, ids = demo
    printed = run(*COMMANDS[answer], FILES[HOUSE], "--json", cwd=folder)
    given = client.get(f"{API}/jobs/{ids[HOUSE]}/{answer}")
    assert given.json() == json.loads(printed.stdout)
    told(answer, given.json())


def test_due_of_one_and_of_all(demo):
    client, ids = demo
    one = client.get(f"{API}/jobs/{ids[FARM]}/due?on=2026-06-03").json()
    every = client.get(f"{API}/due?on=2026-06-03").json()
    assert one["on"] == every["on"] == "2026-06-03"
    assert [each for each in every["jobs"] if each["file"] == ids[FARM]] == one["jobs"]
    assert len(every["jobs"]) == 3
    assert client.get(f"{API}/due").json()["on"] == datetime.date.today().isoformat()


@pytest.fixture
def few(monkeypatch):
    """A catalogue with one choice on each axis, which is searched at once."""
    rows = read_catalogue(written({"tails": {"offered_where": ""}}))
    figures = Figures(prices=replace(shipped(), catalogue=rows))
    monkeypatch.setattr(answers, "figures_in_use", lambda *_: figures)
    return figures


def test_designs_visit_list_and_quote(demo, few):
    client, ids = demo
    address = f"{API}/jobs/{ids[TERRACE]}"
    job = built(client.get(address).json()["record"])
    asked = ("design?everything=true", "visit-list", "quote")
    design, listed, quote = (client.get(f"{address}/{each}") for each in asked)
    assert design.json() == as_sent(design_machine.as_json(working_out.proposal(job, few), everything=True))
    assert listed.json() == as_sent(survey_machine.as_json(working_out.visit(job, few)))
    assert design.json()["front"]
    assert listed.json()["stages"]
    told("design", design.json())
    told("visit-list", listed.json())
    assert quote.status_code == 200
    told("quote", quote.json())
    best = design.json()["best"][0]
    assert best["assessment"] == as_sent(machine.as_json(judged(working_out.proposal(job, few).best[0][1].job)))
    other = client.get(f"{address}/quote?design=999")
    assert (other.status_code, other.json()["faults"][0]["path"]) == (422, "design")


def test_routes_with_their_designs(demo, few):
    client, ids = demo
    given = client.get(f"{API}/jobs/{ids[HOUSE]}/routes").json()
    assert given["routes"]
    told("routes", given)


def test_a_forecast_and_its_repeat(client, demo):
    _, ids = demo
    record = demo[0].get(f"{API}/jobs/{ids[FARM]}").json()["record"]
    address = client.post(f"{API}/jobs", json={"operation": operation(), "record": record}).headers["location"]
    given = client.get(f"{address}/forecast?years=1&seed=3")
    assert given.status_code == 200
    told("forecast", given.json())
    assert given.json()["years"] == 1
    assert client.get(f"{address}/forecast?years=1&seed=3").json() == given.json()


@pytest.mark.parametrize(("answer", "says"), [("design", "route"), ("diagnosis", "sensors"), ("forecast", "vehicles"),
                                              ("quote", "route")])  # fmt: skip
def test_why_a_bare_job_has_no_answer(client, small, answer, says):
    given = client.get(f"{small}/{answer}")
    assert given.status_code == 409
    assert given.headers["content-type"] == "application/problem+json"
    assert says in json.dumps(given.json()["faults"])


def test_too_many_long_answers_at_once_are_told_to_come_again(client, small, monkeypatch):
    monkeypatch.setattr(working_out, "WAIT_S", 0.01)
    with working_out.at_work(), working_out.at_work():
        busy = client.get(f"{small}/load-cap")
        quick = client.get(f"{small}/assessment")
    assert (busy.status_code, busy.headers["retry-after"]) == (503, str(working_out.AGAIN_S))
    assert quick.status_code == 200
    assert client.get(f"{small}/load-cap").status_code == 200


def test_one_rule_alone(demo):
    client, ids = demo
    address = f"{API}/jobs/{ids[HOUSE]}/assessment"
    [check] = client.get(f"{address}?only=disconnection_in_time").json()["checks"]
    assert check["rule"] == "disconnection_in_time"
    assert client.get(f"{address}?only=nothing").status_code == 404


def test_the_books(client):
    assert client.get(f"{API}/schema").json() == schema()
    rules = client.get(f"{API}/rules").json()["rules"]
    assert "disconnection_in_time" in [each["name"] for each in rules]
    tables = client.get(f"{API}/tables").json()["tables"]
    assert tables == list(all_tables())
    rows = client.get(f"{API}/tables/iec/copper_resistance").json()["rows"]
    # IEC 60228, class 2 plain copper: 6 mm2 has 3.08 ohm/km
    assert next(row["r20_ohm_per_km"] for row in rows if row["size_mm2"] == "6") == "3.08"


def test_every_problem_is_listed_where_its_type_points(client):
    listed = {each["type"]: each["status"] for each in client.get(f"{API}/problems").json()["problems"]}
    given = client.get(f"{API}/nothing").json()
    assert listed[given["type"]] == given["status"] == 404
    for methods in router.document()["paths"].values():
        for one in methods.values():
            for status, answer in one["responses"].items():
                problem = answer.get("content", {}).get("application/problem+json", {})
                for example in problem.get("examples", {}).values():
                    assert listed[example["value"]["type"]] == int(status)


def test_the_records_have_the_shape_that_is_told(demo):
    client, ids = demo
    for job in ids.values():
        errors = list(Draft202012Validator(schema()).iter_errors(client.get(f"{API}/jobs/{job}").json()["record"]))
        assert errors == []


def test_the_examples_are_right(client, small):
    components = {"components": router.document()["components"]}
    for name, example in {**examples.SENT, **examples.GIVEN}.items():
        whole = {"$ref": f"#/components/schemas/{name}", **components}
        assert [each.message for each in Draft202012Validator(whole).iter_errors(example)] == []
    begun = client.post(f"{API}/jobs", json=examples.SENT["NewJob"])
    assert begun.status_code == 201
    sent = examples.SENT["Changes"]["changes"]
    assert change(client, begun.headers["location"], begun.json()["head"], sent).status_code == 200
    assert SMALL["version"] == examples.RECORD["version"]


def as_sent(document):
    """A document as it comes out of JSON."""
    return json.loads(json.dumps(document))
