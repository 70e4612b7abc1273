"""Every form that a template writes brings the token of its session, so that no template can forget it."""

from __future__ import annotations

import re

from jinja2.ext import Extension
from markupsafe import Markup

from ampwright.deliver.web.visitors import FORM_TOKEN, here

FORM = re.compile(r'<form\s+method="post"(?:\{\{.*?\}\}|\{%.*?%\}|[^>{])*>')


class FormTokens(Extension):
    """Puts the token into each form of a template's own text, before any value stands in it."""

    def preprocess(self, source: str, name: str | None, filename: str | None = None) -> str:
        """The template with a token in each of its forms."""
        return FORM.sub(lambda found: found[0] + "{{ form_token() }}", source)


def form_token() -> Markup:
    """The hidden field with the token of whoever the page is for."""
    session = here()
    if session is None:
        return Markup("")
    return Markup('<input type="hidden" name="{}" value="{}">').format(FORM_TOKEN, session.form_token)
