"""The templates, and the words that they may use."""

from __future__ import annotations

from importlib import resources

from fastapi import Request, Response
from fastapi.templating import Jinja2Templates
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from ampwright.deliver.screen import step_lines
from ampwright.deliver.store.clock import clock
from ampwright.deliver.web.contexts import ErrorPage
from ampwright.deliver.web.controls import in_words_now
from ampwright.deliver.web.form_token import FormTokens, form_token
from ampwright.deliver.web.parts import CLASSES, asked_at, word
from ampwright.deliver.web.said import on_page
from ampwright.deliver.web.screens.listing import screens
from ampwright.deliver.web.visitors import here, here_may, holder
from ampwright.job.fields import in_words
from ampwright.working import capital


def show(request: Request, page: str, context: object, status: int = 200) -> Response:
    """One page with its context."""
    return _TEMPLATES.TemplateResponse(request, f"{page}.html", {"page": context}, status_code=status)


def error_page(request: Request, status: int, title: str, says: str, lines: tuple[str, ...] = ()) -> Response:
    """A page that says what cannot be done and what to do instead."""
    return show(request, "error", ErrorPage(title, says, lines), status)


def _templates() -> Jinja2Templates:
    folder = resources.files("ampwright.deliver.web").joinpath("templates")
    env = Environment(loader=FileSystemLoader(str(folder)), autoescape=True, undefined=StrictUndefined,
                      trim_blocks=True, lstrip_blocks=True)  # fmt: skip
    env.globals.update(in_words=in_words, asked_at=asked_at, word=word, classes=CLASSES, step_lines=step_lines,
                       in_words_now=in_words_now, sentence=capital, clock=clock, screens=screens, on_page=on_page,
                       form_token=form_token, here=here, here_may=here_may, holder=holder)  # fmt: skip
    env.add_extension(FormTokens)
    return Jinja2Templates(env=env)


_TEMPLATES = _templates()
