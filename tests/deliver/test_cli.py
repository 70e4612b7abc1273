"""The commands, run as a person runs them."""

import json

import pytest
from command import run
from jsonschema import validate

from ampwright.assess.book import BOOK
from ampwright.deliver.demo import FINISHED, JOBS, METER
from ampwright.facts import all_tables

STEP = {
    "type": "object",
    "required": ["under", "symbol", "value", "unit", "formula", "filled", "source", "row", "trust"],
    "additionalProperties": {"type": ["string", "number", "null"]},
}
CHECK_KEYS = {
    "rule", "clause", "clause_trust", "edition", "asks", "verdict", "says", "needs", "cautions", "trust", "working"
}  # fmt: skip


@pytest.fixture(scope="module", params=JOBS)
def judged(request, folder):
    return json.loads(run("assess", request.param, "--json", cwd=folder).stdout)


def test_demo_writes_four_jobs_and_never_over_a_changed_one(folder, tmp_path):
    assert {path.name for path in folder.iterdir()} == {*JOBS, FINISHED, METER}
    run("demo", ".", cwd=tmp_path)
    changed = tmp_path / JOBS[0]
    changed.write_text("mine", encoding="utf-8")
    assert "left as it is" in run("demo", ".", cwd=tmp_path).stdout
    assert changed.read_text(encoding="utf-8") == "mine"


def test_the_json_keeps_its_shape(judged):
    assert judged["format"] == 1
    assert [check["rule"] for check in judged["checks"]] == [each.name for each in BOOK.regulations]
    for check in judged["checks"]:
        assert set(check) == CHECK_KEYS
        for step in check["working"]:
            validate(step, STEP)
    assert sum(judged["tally"].values()) == len(judged["checks"])


def test_what_to_find_out_is_ranked_by_what_it_settles(judged):
    ranked = ("settles", "may_settle", "asked_by")
    gains = [tuple(len(each[kind]) for kind in ranked) for each in judged["to_find_out"]]
    assert gains == sorted(gains, reverse=True)
    asked = {path for check in judged["checks"] if check["verdict"] == "not yet known" for path in check["needs"]}
    assert {each["path"] for each in judged["to_find_out"]} >= asked


@pytest.mark.parametrize("name", JOBS)
def test_the_exit_status_says_the_worst_answer(name, folder):
    done = run("assess", name, "--json", cwd=folder)
    tally = json.loads(done.stdout)["tally"]
    assert done.returncode == (1 if tally["not met"] else 2 if tally["not yet known"] else 0)


@pytest.mark.parametrize(("verdict", "status"), [("met", 0), ("not met", 1), ("not yet known", 2)])
def test_one_rule_alone(verdict, status, folder, tmp_path):
    # a device too small for the car, for the demos themselves break no rule
    small = (folder / JOBS[-1]).read_text(encoding="utf-8").replace("    rating_a: 32\n", "    rating_a: 16\n")
    (tmp_path / "small.yaml").write_text(small, encoding="utf-8")
    names = (*JOBS, str(tmp_path / "small.yaml"))
    jobs = {name: json.loads(run("assess", name, "--json", cwd=folder).stdout)["checks"] for name in names}
    answers = [(name, check) for name, checks in jobs.items() for check in checks]
    name, rule = next((name, check["rule"]) for name, check in answers if check["verdict"] == verdict)
    done = run("assess", name, "--only", rule, "--working", cwd=folder)
    assert done.returncode == status
    assert f"[{rule};" in done.stdout


def test_the_working_is_printed_line_by_line(folder):
    text = run("assess", JOBS[0], "--only", "voltage_drop", "--working", cwd=folder).stdout
    # by hand: the buried stretch loses 7.9 mV/A/m / 1000 x 18 m x 32 A = 4.550 V
    assert "Vd2 = mVAm / 1000 × L × Ib\n" in text
    assert "= 7.9 / 1000 × 18 × 32\n" in text
    assert "= 4.55 V\n" in text
    assert "BS 7671 Table 4E4B (" in text


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("assess", "nowhere.yaml"), "nowhere.yaml"),
        (("assess", "bad.yaml"), "line 2"),
        (("assess", JOBS[0], "--only", "voltage_dorp"), "Did you mean voltage_drop?"),
        (("facts", "gb/max_sz"), "Did you mean gb/max_zs?"),
        (("asess",), "No such command"),
    ],
)
def test_a_mistake_ends_with_status_3_and_says_what_to_do(words, says, folder):
    (folder / "bad.yaml").write_text("version: 2\nsuply: {}\n", encoding="utf-8")
    done = run(*words, cwd=folder)
    assert done.returncode == 3
    assert says in done.stderr
    assert "Traceback" not in done.stderr


def test_rules_facts_and_schema(folder):
    rules = run("rules", cwd=folder).stdout
    assert all(each.name in rules and each.asks in rules for each in BOOK.regulations)
    facts = run("facts", cwd=folder).stdout
    assert all(name in facts for name in all_tables())
    table = run("facts", "iec/copper_resistance", cwd=folder).stdout
    assert "3.08" in table
    assert "iec60228: IEC 60228, Conductors of insulated cables (" in table
    assert "copy_copper: " in table
    assert json.loads(run("schema", cwd=folder).stdout)["title"] == "Job"


@pytest.mark.parametrize(
    ("text", "says"),
    [("version: 2\nedition: BS 7671:2031\n", "line 2: edition: the book knows no edition"),
     ('version: 2\ntitle: "a\\u001b[31mb"\n', "line 2: title: this holds a sign that cannot be printed")],
)  # fmt: skip
def test_what_no_book_and_no_printer_knows_is_refused_at_the_door(text, says, tmp_path):
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    done = run("assess", "job.yaml", cwd=tmp_path)
    assert done.returncode == 3
    assert says in done.stderr


def test_a_folder_that_cannot_be_made_is_told_in_words(tmp_path):
    (tmp_path / "taken").write_text("", encoding="utf-8")
    done = run("demo", "taken", cwd=tmp_path)
    assert done.returncode == 3
    assert done.stderr.startswith("Error: File exists: ")
