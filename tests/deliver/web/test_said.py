"""No page of the answers tells anybody to type a command, or names a rule or a row of the list of sources."""

import re

import pytest

from ampwright.assess.design import CAP_MIND
from ampwright.deliver.web.parts import parts
from ampwright.deliver.web.said import on_page

INSIDE = re.compile(r"`ampwright|\bcopy_\w+| \[\w+_\w+\]")


@pytest.mark.parametrize("number", [0, 2], ids=["house", "terrace"])
def test_the_pages_of_a_job_name_nothing_of_the_inside(client, number):
    home = re.findall(r"/jobs/\w{16}", client.get("/").text)[number]
    for page in ("", "/checks", "/load-cap", "/due", "/sheet", *(f"/part/{each}" for each in parts())):
        shown = re.sub(r"<[^>]+>", " ", client.get(home + page).text)
        assert INSIDE.findall(shown) == [], page


@pytest.mark.parametrize(("text", "shown"), [
    (CAP_MIND, CAP_MIND.replace("`ampwright loadcap`", "“Load cap”")),
    ("form; copy seen: copy_ena_form; reprinted", None), ("What must be looked for? Two places. [drilling_hazards]",
                                                         "What must be looked for? Two places."),
    ("5 % at 25 [°C], row [0]", "5 % at 25 [°C], row [0]"), ("copy_of_nothing", "copy_of_nothing")])  # fmt: skip
def test_what_a_terminal_is_told_is_said_on_a_page(text, shown):
    assert "loadcap" not in on_page(text)
    if shown is None:
        assert "copy_" not in on_page(text)
    else:
        assert on_page(text) == shown
