"""`ampwright design`, run as a person runs it."""

import json
from importlib import resources

import pytest
from command import run

from ampwright.deliver.demo import JOBS

SHIPPED = resources.files("ampwright.assess").joinpath("catalogue.csv").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def text(folder):
    return run("design", JOBS[0], cwd=folder)


def test_proposes_designs_with_price_time_loss_and_standing(text):
    assert text.returncode == 2, text.stderr  # the cheapest load cap is by radio, and what arrives is not counted yet
    assert "1. The cheapest at 7.4 kW" in text.stdout
    assert "with VAT at 20 %" in text.stdout
    assert "SAFE IF" in text.stdout
    assert "safe only if enough of the sensor's readings arrive by radio" in " ".join(text.stdout.split())
    assert "invented" in text.stdout


def test_says_of_the_obvious_choice_which_check_rules_it_out_with_both_numbers(text):
    said = " ".join(text.stdout.split())

    assert "House and car need 103.5 A, the house alone 71.5 A" in said
    assert "[cutout_carries_demand;" in said
    assert "[rcd_breaks_all_live;" in said


def test_json_has_a_stable_shape_and_the_designs_stand(folder):
    out = run("design", JOBS[1], "--json", "--all", cwd=folder)
    found = json.loads(out.stdout)

    assert found["format"] == 1
    assert found["status"] == out.returncode
    assert {"why", "choices", "cables", "price_pence", "minutes", "standing", "assessment"} <= set(found["best"][0])
    assert all(design["assessment"]["tally"]["not met"] == 0 for design in found["front"])


def net_pence(folder, *more):
    return json.loads(run("design", JOBS[0], "--json", *more, cwd=folder).stdout)["best"][0]["price_pence"]["net"][0]


def test_a_catalogue_of_your_own_is_used(folder):
    (folder / "mine.csv").write_text(SHIPPED.replace(",52000,75,", ",152000,75,"), encoding="utf-8")

    # the charge point itself is 1,000.00 pounds dearer in it
    assert net_pence(folder, "--catalogue", "mine.csv") - net_pence(folder) == 100_000


def test_a_bad_catalogue_lists_all_its_faults(folder):
    bad = SHIPPED.replace(",52000,75,", ",free,75,").replace("charging,one 25", "charging,one 32")
    (folder / "bad.csv").write_text(bad, encoding="utf-8")
    out = run("design", JOBS[0], "--catalogue", "bad.csv", cwd=folder)

    assert out.returncode == 3
    assert "free" in out.stderr
    assert "one 32" in out.stderr


def test_a_job_without_a_route_is_told_what_is_wanted(folder):
    (folder / "empty.yaml").write_text("version: 2\n", encoding="utf-8")
    out = run("design", "empty.yaml", cwd=folder)

    assert out.returncode == 3
    assert "The route is wanted" in out.stderr


def test_a_date_before_the_first_rate_of_vat_is_told_so(folder):
    text = (folder / JOBS[0]).read_text(encoding="utf-8").replace("date: 2026-11-20", "date: 1990-01-01", 1)
    (folder / "old.yaml").write_text(text, encoding="utf-8")
    out = run("design", "old.yaml", cwd=folder)

    assert out.returncode == 3
    assert "VAT" in out.stderr
