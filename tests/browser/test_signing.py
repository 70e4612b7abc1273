"""The certificate signed with a finger on a phone: drawn, wiped, typed instead, and refused as a dot."""

import pytest
from browsing import judged
from playwright.sync_api import expect

from ampwright.deliver.demo import demo_files
from ampwright.deliver.store.store import Store

NAME = [(0.15, 0.7), (0.25, 0.3), (0.35, 0.7), (0.45, 0.3), (0.6, 0.6), (0.8, 0.4)]


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


def draw(page, points):
    """One finger down at the first place, over the others, and up."""
    canvas = of_installer(page).locator("canvas")
    canvas.scroll_into_view_if_needed()
    box = canvas.bounding_box()
    finger = page.context.new_cdp_session(page)
    places = [{"x": box["x"] + across * box["width"], "y": box["y"] + down * box["height"]} for across, down in points]
    finger.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": places[:1]})
    for place in places[1:]:
        finger.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [place]})
    finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def wait_for_ink(page, wanted):
    """Until something stands in the box, or nothing."""
    page.wait_for_function("""([each, wanted]) => wanted ===
        each.getContext("2d").getImageData(0, 0, each.width, each.height).data.some((value) => value > 0)""",
                           arg=[of_installer(page).locator("canvas").element_handle(), wanted])  # fmt: skip


def send(page):
    of_installer(page).get_by_role("button", name="I have read it and sign").tap()


def test_a_finger_signs_and_the_page_keeps_what_was_drawn(sign_page):
    page = sign_page(color_scheme="dark")
    assert judged(page) == ([], [], False)
    draw(page, NAME)
    wait_for_ink(page, True)
    of_installer(page).get_by_role("button", name="Wipe").tap()
    wait_for_ink(page, False)
    draw(page, NAME)
    wait_for_ink(page, True)
    send(page)

    expect(of_installer(page)).to_contain_text("the signature holds")
    expect(of_installer(page)).to_contain_text("on this machine without an account, under the name Ann")
    path = page.get_by_role("img", name="Signature of B. Specimen, drawn by hand").locator("path").get_attribute("d")
    ends = path.removeprefix("M").split(" L")
    assert [abs(int(each) - told) <= 3 for each, told in zip(ends[0].split(), (90, 140), strict=True)] == [True, True]
    assert [abs(int(each) - told) <= 3 for each, told in zip(ends[-1].split(), (480, 80), strict=True)] == [True, True]
    assert judged(page) == ([], [], False)


def test_a_dot_is_refused_and_the_name_may_be_typed_instead(sign_page):
    page = sign_page()
    assert judged(page) == ([], [], False)
    draw(page, NAME[:2])
    send(page)
    expect(page.get_by_role("alert")).to_contain_text("a dot and no signature")
    assert judged(page) == ([], [], False)
    of_installer(page).get_by_label("Or type the name").fill("b. specimen")
    send(page)
    expect(of_installer(page)).to_contain_text("name typed as signature")


def test_the_name_is_typed_without_javascript(sign_page):
    page = sign_page(java_script_enabled=False)
    assert of_installer(page).locator("canvas").is_hidden()
    of_installer(page).get_by_label("Or type the name").fill("B. Specimen")
    send(page)
    expect(of_installer(page)).to_contain_text("the signature holds")
