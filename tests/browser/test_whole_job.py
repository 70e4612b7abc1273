"""A whole job by touch: begun by its title, surveyed part by part, tested, its papers made; then it is the file's."""

from importlib import resources

import pytest
from playwright.sync_api import expect

from ampwright.deliver.demo import FINISHED
from ampwright.deliver.store.values import leaves_of, lists, value_at
from ampwright.deliver.web.controls import boxes, kind_of
from ampwright.deliver.web.parts import parts
from ampwright.deliver.web.survey import ITEMS
from ampwright.job.files import parse, values_of

ROUNDS = 8  # a list in a list shows once its own entry is there


@pytest.mark.drill
def test_a_job_from_its_title_to_its_handover(phone, server):
    file = resources.files("ampwright.deliver.demo").joinpath(FINISHED).read_text(encoding="utf-8")
    wanted = values_of(parse(file))
    page = phone()
    page.get_by_label("What the job is, in a line").fill(wanted["title"])
    page.get_by_role("button", name="Begin the job").tap()
    page.get_by_role("heading", name="The line", exact=True).wait_for()
    home = page.url
    for part in parts():
        for _ in range(ROUNDS):
            page.goto(f"{home}/part/{part}")
            if not filled(page, wanted):
                break
            page.get_by_role("button", name="Save and judge again").tap()
            expect(page.get_by_role("heading", name="What it changed")).to_be_visible()
    entered = values_of(parse(page.request.get(f"{home}/file").text()))
    assert dict(leaves_of(undated(entered))) == dict(leaves_of(wanted))
    page.goto(f"{home}/papers")
    page.get_by_role("button", name="Make the papers").tap()
    handover = page.get_by_role("link", name="Handover to the customer")
    expect(handover).to_be_visible(timeout=120_000)
    paper = page.request.get(f"{server.address}{handover.get_attribute('href')}")
    assert (paper.status, paper.body()[:5]) == (200, b"%PDF-")


def undated(values):
    """The same values without the day on which a form was filled in: an instrument's reading bears it."""
    if isinstance(values, dict):
        return {name: undated(each) for name, each in values.items() if name != "when"}
    return [undated(each) for each in values] if isinstance(values, list) else values


def filled(page, wanted):
    """Fill in every question of a part that stands otherwise in the file, and begin the entries that are to come."""
    touched = False
    for path in page.locator("details.question[id]:not(.add)").evaluate_all("(all) => all.map((each) => each.id)"):
        value = value_at(wanted, path)
        if value not in (None, []) and typed(page, path, value):
            touched = True
    for added in page.locator("details.add").all():
        first = added.locator("[name]").first.get_attribute("name").split("~")[0]
        place = first[: first.rindex("]") + 1]
        if value_at(wanted, place) is not None:
            added.locator("summary").first.tap()
            for path in sorted({each.split("~")[0] for each in added.locator("[name]").evaluate_all(
                    "(all) => all.map((each) => each.name)")}):  # fmt: skip
                typed(page, path, value_at(wanted, path))
            touched = True
    return touched


def typed(page, path, value):
    """Put a value into the boxes of a question by touch, unless it stands there; whether anything was to be done."""
    kind, done = kind_of(path), False
    for box, text in boxes(kind, value).items():
        name = f"{path}~{box}" if box else path
        found = page.locator(f'[name="{name}"]')
        radio = found.first.get_attribute("type") == "radio"
        stands = (page.locator(f'input[name="{name}"]:checked').get_attribute("value") if radio
                  else found.input_value())  # fmt: skip
        if stands == text:
            continue
        opened(page, path)
        done = True
        if radio:
            page.locator("label.pick", has=page.locator(f'input[name="{name}"][value="{text}"]')).tap()
        elif kind == "choice":
            found.select_option(text)
        else:
            found.fill(text)
    return done


def opened(page, path):
    """Unfold a question, as a finger would."""
    question = page.locator(f'details[id="{path}"]')
    if question.count() and not question.evaluate("(each) => each.open"):
        question.locator("summary").first.tap()


def test_every_list_of_the_record_has_a_place_where_it_grows():
    """Lists that neither the survey nor a screen of their own lets grow could only be typed into the file."""
    by_screens = {"tests.sensing", "tests.sensing[].shown"}
    assert {each for each in lists() if not each.startswith("sketch.")} == set(ITEMS) | by_screens
