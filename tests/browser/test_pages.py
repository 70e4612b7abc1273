"""Every page held against axe-core (WCAG 2.2 AA and its other rules), 44 px, and the width of a phone."""

import pytest
from browsing import judged, terrace

from ampwright.deliver.web.parts import parts

ADDRESSES = ["", "/checks", "/history", *(f"/part/{part}" for part in parts())]


@pytest.mark.parametrize("settings", [{"color_scheme": "light"}, {"color_scheme": "dark"},
                                      {"viewport": {"width": 1280, "height": 800}, "is_mobile": False}],
                         ids=["light", "dark", "office"])  # fmt: skip
def test_every_page_of_a_job(phone, settings):
    page = phone(**settings)
    home = terrace(page)
    for address in ("/", "/recall", "/recall?says=&under=", *(f"{home}{each}" for each in ADDRESSES), "/nothing"):
        page.goto(address)
        assert judged(page) == ([], [], False), address


def test_the_rulers_measure(phone):
    page = phone()
    page.evaluate("document.querySelector('main').innerHTML = '<a href=\"/\">x</a><img src=\"/static/icon.svg\">'")
    violations, small, _ = judged(page)
    assert "image-alt" in [name for name, _ in violations]
    assert len(small) == 1


def test_the_whole_book_of_working_is_on_the_page(phone):
    page = phone()
    page.get_by_role("link", name="Larch House").click()
    page.get_by_role("link", name="All checks with their working").click()
    page.locator("#voltage_drop summary").click()
    assert page.locator("#voltage_drop .step").filter(has_text="Vd").first.is_visible()
    assert judged(page) == ([], [], False)
