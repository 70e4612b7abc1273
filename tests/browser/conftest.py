"""Chromium, the server, and phones that fail the test when a page complains."""

import pytest
from browsing import CHROMIUM, PHONE, Server
from playwright.sync_api import sync_playwright


@pytest.fixture(scope="session")
def chromium():
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def server(tmp_path):
    found = Server(tmp_path)
    yield found
    found.kill()


@pytest.fixture
def phone(chromium, server):
    """Opens phones, each with a page at the list of jobs; whatever a page complains of fails the test."""
    opened, complaints = [], []

    def open_one(**settings):
        context = chromium.new_context(**{**PHONE, "base_url": server.address, **settings})
        page = context.new_page()
        page.on("pageerror", lambda wrong: complaints.append(str(wrong)))
        page.on("console", lambda told: complaints.append(told.text)
                if told.type == "error" and "status of 4" not in told.text else None)  # fmt: skip
        page.goto("/")
        opened.append(context)
        return page

    yield open_one
    for context in opened:
        context.close()
    assert complaints == []


@pytest.fixture
def quiet_phone(chromium, server):
    """Opens phones that may complain of a network that is not there; a page that breaks fails the test."""
    opened, broken = [], []

    def open_one(**settings):
        context = chromium.new_context(**{**PHONE, "base_url": server.address, **settings})
        page = context.new_page()
        page.on("pageerror", lambda wrong: broken.append(str(wrong)))
        page.on("console", lambda told: broken.append(told.text)
                if "Content Security Policy" in told.text else None)  # fmt: skip
        page.goto("/")
        opened.append(context)
        return page

    yield open_one
    for context in opened:
        context.close()
    assert broken == []
