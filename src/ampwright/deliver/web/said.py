"""What the answers say to a terminal, said on a page: screens for commands, titles for the names of sources."""

from __future__ import annotations

import re

from ampwright.deliver.web.screens.listing import screens
from ampwright.facts import sources

SCREENS = {"`ampwright loadcap`": "load-cap", "`ampwright diagnose`": "sensors", "`ampwright design`": "design"}
OTHERWISE = {
    "`ampwright survey`": "“What to find out next”",
    "`ampwright facts` lists each with its source": "“Issued papers” lists each, to be confirmed",
}
_SOURCE = re.compile(r"\bcopy_\w+")
_RULES = re.compile(r" \[\w+_\w+(?:, \w+)*\]")


def on_page(text: str) -> str:
    """A text of the answers without commands to type, names of rules or names of rows of the list of sources."""
    names = {each.id: each.name for each in screens()}
    for command, screen in SCREENS.items():
        text = text.replace(command, f"“{names[screen]}”")
    for command, words in OTHERWISE.items():
        text = text.replace(command, words)
    return _RULES.sub("", _SOURCE.sub(lambda found: _title(found[0]), text))


def _title(source: str) -> str:
    known = sources().get(source)
    return known["title"] if known else source
