"""Figures of one's own: which papers they show in, and what an issued paper made with others says."""

import dataclasses
import datetime

import pytest
from catalogues import written
from command import run
from issuing import DAY, ready
from own_prices import own_prices

from ampwright.assess.user_csv import BadTable
from ampwright.deliver.batch.sources import Kept, head_of
from ampwright.deliver.demo import demo_files
from ampwright.deliver.documents.book import PAPERS
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.figures import KINDS, BadFigures, Figures, read_figures
from ampwright.deliver.firm_figures import check, figures_in_use
from ampwright.deliver.issuing import issue
from ampwright.deliver.standing import FIGURED, differs_words, standings
from ampwright.deliver.store.figure_book import FigureBook
from ampwright.job.files import parse

SHIPPED = {name: kind.sort.text() for name, kind in KINDS.items()}
ONE = {**SHIPPED, "catalogue": written({"tails": {"offered_where": ""}})}
OTHER = {
    "catalogue": written({"tails": {"offered_where": ""}, "always": {"pence": "90000", "minutes": "600"}}),
    "prices": SHIPPED["prices"].replace("margin_percent,,,10", "margin_percent,,,50"),
    "efforts": SHIPPED["efforts"].replace("fall,5,", "fall,9,"),
    "bits": "kind,diameter_mm,usable_mm,bore_mm,note\npilot,9,2900,,\nfinal,61,2900,,\nsleeve,60,,55,\n",
}


def put(store, kind, text):
    newest = FigureBook(store).newest().get(kind)
    base = newest.number if newest else 0
    FigureBook(store).put(kind, text, base=base, operation=f"put-{kind}-after-{base}", who="Ann", origin="a test")


def told_by(figures, job):
    pack = Pack(job, datetime.date(2026, 11, 21), figures)
    return {name: dataclasses.asdict(write(pack)) for name, write in PAPERS.items()}


def test_the_papers_that_are_said_to_show_them_are_those_that_do():
    showing = set()
    for name in ("terrace", "bungalow"):
        job = parse(demo_files()[f"{name}.yaml"])
        one, other = (told_by(read_figures(texts), job) for texts in (ONE, OTHER))
        showing |= {paper for paper in PAPERS if one[paper] != other[paper]}
    assert showing == set(FIGURED)


def test_figures_are_the_same_by_their_texts_and_say_whose_they_are():
    assert read_figures({}) == Figures()
    one, again, other = (read_figures({"bits": text}) for text in (OTHER["bits"], OTHER["bits"], SHIPPED["bits"]))
    assert (one == again, one == other, hash(one) == hash(again)) == (True, False, True)
    assert (set(one.own), one.drawing_says[:18], Figures().drawing_says) == ({"bits"}, "Bits are your own;", "")
    assert read_figures({"catalogue": ONE["catalogue"], "prices": ONE["prices"]}).prices_say == (
        "Catalogue and price book are your own.")  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_shipped_may_be_loaded_down_and_put_in_again_and_in_no_other_place(kind):
    check(KINDS[kind], SHIPPED[kind])
    for other in set(KINDS) - {kind}:
        with pytest.raises(BadTable, match=f"line 1: this is a .* put it in under {KINDS[kind].title}"):
            check(KINDS[other], SHIPPED[kind])


def test_all_that_is_wrong_with_all_of_them_is_told_at_once():
    with pytest.raises(BadFigures) as bad:
        read_figures({"bits": "kind\n", "efforts": "name\n", "prices": None})
    assert list(bad.value.tables) == ["bits", "efforts"]
    assert "the list of bits cannot be read as a list of bits:\n  line 1: " in str(bad.value)


def test_a_quote_made_with_other_figures_no_longer_agrees_and_is_issued_anew(store):
    job = ready(store)
    for name, text in own_prices().items():
        put(store, name, text)
    first = issue(store, job, ("quote", "tests"), DAY, "Ann")
    assert [each.agrees for each in standings(store, job)] == [True, True]

    put(store, "prices", OTHER["prices"])
    found = {each.issued.kind: each for each in standings(store, job)}
    assert (found["quote"].agrees, found["tests"].agrees) == (False, True)
    assert differs_words(found["quote"]).endswith("made with other figures of your own than are in use now")

    again = issue(store, job, ("quote", "tests"), DAY, "Ann")
    assert (again[0].supersedes, again[1]) == (first[0].number, first[1])
    assert issue(store, job, ("quote",), DAY, "Ann") == again[:1]

    put(store, "prices", own_prices()["prices"])
    back = issue(store, job, ("quote",), DAY, "Ann")
    assert back[0].supersedes == again[0].number
    assert issue(store, job, ("quote",), DAY, "Ann") == back
    assert all(each.agrees for each in standings(store, job) if each.by is None)


def test_a_materials_list_of_a_changed_job_is_compared_by_the_figures_in_use(store):
    job = ready(store)
    put(store, "bits", OTHER["bits"])
    issue(store, job, ("materials",), DAY, "Ann")
    store.change(job, {"dates.enquired": "2026-05-02"}, base=store.read(job)[1], operation="later", who="Ann",
                 origin="here")  # fmt: skip
    assert [each.agrees for each in standings(store, job)] == [True]
    assert figures_in_use(store, job).own == {"bits"}


def test_a_batch_that_issues_is_done_anew_after_other_figures(store, tmp_path):
    job = ready(store)
    before = Kept(tmp_path / "jobs.db").trusted()[job]
    put(store, "prices", OTHER["prices"])
    after = Kept(tmp_path / "jobs.db").trusted()[job]
    assert (after, head_of(after)) == (f"{before}/1", store.read(job)[1])


def test_commands_print_whose_prices_they_are(tmp_path):
    for name, text in {**demo_files(), "prices.csv": OTHER["prices"]}.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    (tmp_path / "small.csv").write_text(ONE["catalogue"], encoding="utf-8")
    ran = run("quote", "terrace.yaml", "--catalogue", "small.csv", "--prices", "prices.csv", cwd=tmp_path)
    assert "Catalogue and price book are your own." in " ".join(ran.stdout.split())
    both = run("quote", "terrace.yaml", "--catalogue", "prices.csv", "--prices", "small.csv", cwd=tmp_path)
    assert both.returncode == 3
    assert "prices.csv cannot be read as a catalogue" in both.stderr
    assert "small.csv cannot be read as a price book" in both.stderr
