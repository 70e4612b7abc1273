"""`ampwright quote`, run as a person runs it."""

import json
import re
from decimal import Decimal
from functools import cache

from command import run

GARAGE, FARM, TERRACE = "house_with_garage.yaml", "farmhouse.yaml", "terrace.yaml"


@cache
def of_farm(folder):
    """The farm's second design as JSON, worked out once."""
    return json.loads(run("quote", FARM, "--design", "2", "--json", cwd=folder).stdout)


def test_the_quote_of_a_job_seen_in_photographs_is_a_band(folder):
    done = run("quote", TERRACE, cwd=folder)
    assert done.returncode == 2
    told = " ".join(done.stdout.split())
    low, high = (Decimal(each.replace(",", "")) for each in re.findall(r"To pay: £([\d,.]+) to £([\d,.]+),", told)[0])
    assert "for this design, if what is open turns out well: what else the survey may make of it is not in" in told
    assert "not the customer's paper" in told
    assert "it stands until 21 December 2026" in told  # 21 November and 30 days
    assert f"once measured, takes about £{high - low} off this band" in told  # its one range
    assert "NOT IN THE PRICE" in done.stdout
    assert "all that come with the program are invented" in told


def test_the_same_as_json_with_every_penny(folder):
    told = of_farm(folder)
    assert (told["format"], told["design"]) == (1, 2)
    for end in ("low_gbp", "high_gbp"):
        spent = sum(Decimal(each["cost"][end]) for each in told["lines"]) + Decimal(told["labour"][end])
        net = spent + Decimal(told["overhead"][end]) + Decimal(told["margin"][end])
        assert net == Decimal(told["net"][end])
        assert net + Decimal(told["vat"][end]) == Decimal(told["gross"][end])
    assert 2 not in [each["design"] for each in told["instead"]]


def test_prices_of_your_own(folder, tmp_path):
    rows = ["sort,code,pounds,minutes,value,words,note", "firm,overhead_percent,,,0,,", "firm,margin_percent,,,0,,",
            "firm,valid_days,,,7,,", "firm,charges_vat,,,0,,"]  # fmt: skip
    (tmp_path / "mine.csv").write_text("\n".join(rows), encoding="utf-8")
    done = run("quote", GARAGE, "--prices", str(tmp_path / "mine.csv"), cwd=folder)
    assert done.returncode == 2
    assert "the upper end is not known yet" in done.stdout
    assert "NO PRICE IS HELD FOR" in done.stdout
    assert "cable cleat for" in done.stdout
    assert "must hold the VAT that you pay yourself" in " ".join(done.stdout.split())
    assert "VAT at" not in done.stdout


def test_a_book_or_a_number_that_will_not_do(folder, tmp_path):
    (tmp_path / "bad.csv").write_text("sort,code\npart,x", encoding="utf-8")
    done = run("quote", GARAGE, "--prices", str(tmp_path / "bad.csv"), cwd=folder)
    assert done.returncode == 3
    assert "the first line must name the columns" in done.stderr
    none = run("quote", GARAGE, "--design", "99", cwd=folder)
    assert none.returncode == 3
    assert "there is no design 99" in none.stderr


def test_where_no_design_stands_nothing_is_priced(folder, tmp_path):
    text = (folder / GARAGE).read_text(encoding="utf-8").replace("rating_a: 80", "rating_a: 20")
    assert "rating_a: 20" in text
    meter = "house_with_garage_meter.csv"
    (tmp_path / meter).write_bytes((folder / meter).read_bytes())
    (tmp_path / "small.yaml").write_text(text, encoding="utf-8")
    done = run("quote", "small.yaml", cwd=tmp_path)
    assert done.returncode == 1
    assert "there is nothing to price" in done.stdout


def test_a_job_without_a_date_is_not_quoted_as_if_it_had_one(folder, tmp_path):
    lines = (folder / TERRACE).read_text(encoding="utf-8").splitlines()
    undated = [each for each in lines if not each.startswith("date:")]
    assert len(undated) == len(lines) - 1
    (tmp_path / TERRACE).write_text("\n".join(undated), encoding="utf-8")
    done = run("quote", TERRACE, cwd=tmp_path)
    assert done.returncode == 2
    assert "it stands until" not in done.stdout
    assert "without it no day is set until which the price stands" in " ".join(done.stdout.split())


def test_the_work_is_told_piece_by_piece_and_adds_up(folder):
    told = of_farm(folder)
    for end, spent_min in zip(("low", "high"), told["minutes"], strict=True):
        assert round(sum(each["minutes_each"] * each["need"][end] for each in told["operations"])) == spent_min
    assert "24 to 30 m a trench through gravel, dug and filled by hand: 24 min a metre" in " ".join(
        run("quote", FARM, "--design", "2", cwd=folder).stdout.split())  # fmt: skip


def test_the_visit_reading_by_reading(folder):
    plain, asked = (" ".join(run("quote", TERRACE, *more, cwd=folder).stdout.split()) for more in ((), ("--visit",)))
    assert "(`ampwright quote --visit`: reading by reading)" in plain
    low, high = (Decimal(each) for each in re.findall(
        r"whether the board has a way free: decides between £1,([\d.]+) and £1,([\d.]+)", asked)[0])  # fmt: skip
    assert low < high
    assert "whether the building is listed: decides whether there is a design at all" in asked
    assert "--visit" not in asked
