"""The certificate signed on a phone without JavaScript, by the typed name."""

import pytest
from playwright.sync_api import expect

from ampwright.deliver.demo import demo_files
from ampwright.deliver.store.store import Store


@pytest.fixture
def sign_page(phone, server):
    """Opens a phone at the page where the demo's tested job is signed."""
    store = Store(server.folder / "ampwright.db")
    name = store.take_in(demo_files()["bungalow.yaml"], operation="bungalow", who="Ann", origin="a file")
    store.close()

    def open_one(**settings):
        page = phone(**settings)
        page.goto(f"/jobs/{name}/sign")
        return page

    return open_one


def of_installer(page):
    return page.locator("section.card").filter(has_text="B. Specimen, installer")


def send(page):
    of_installer(page).get_by_role("button", name="I have read it and sign").tap()


def test_the_name_is_typed_without_javascript(sign_page):
    page = sign_page(java_script_enabled=False)
    assert of_installer(page).locator("canvas").is_hidden()
    of_installer(page).get_by_label("Or type the name").fill("B. Specimen")
    send(page)
    expect(of_installer(page)).to_contain_text("the signature holds")
