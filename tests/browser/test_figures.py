"""A firm's own figures on a telephone: put in, put right, and taken back, and the price that says so."""

import pytest
from browsing import judged
from playwright.sync_api import expect

LOOKS = [{"color_scheme": "light"}, {"color_scheme": "dark"},
         {"viewport": {"width": 1280, "height": 800}, "is_mobile": False}]  # fmt: skip


@pytest.mark.parametrize("settings", LOOKS, ids=["light", "dark", "office"])
def test_figures_are_loaded_down_changed_put_right_and_taken_back(phone, tmp_path, settings):
    page = phone(**settings)
    page.get_by_role("link", name="Your own figures").click()
    expect(page.get_by_role("heading", name="Your own figures")).to_be_visible()
    assert judged(page) == ([], [], False)

    card = page.locator("#bits")
    with page.expect_download() as loading:
        card.get_by_role("link", name="Load down what is in use").click()
    assert loading.value.suggested_filename == "bits.csv"
    loading.value.save_as(tmp_path / "bits.csv")
    text = (tmp_path / "bits.csv").read_text(encoding="utf-8")
    (tmp_path / "bits.csv").write_text(text.replace("final,16,400", "final,sixteen,400"), encoding="utf-8")

    card.get_by_label("A CSV file").set_input_files(tmp_path / "bits.csv")
    card.get_by_role("button", name="Use these from now on").click()
    expect(page.get_by_role("alert").get_by_text("Nothing was changed")).to_be_visible()
    expect(card.get_by_text("Line 4: diameter_mm: 'sixteen' will not do")).to_be_in_viewport()
    assert judged(page) == ([], [], False)
    there = card.get_by_label("Or put it right here")
    there.fill(there.input_value().replace("sixteen", "18"))
    card.get_by_role("button", name="Use these from now on").click()
    expect(card.get_by_text("In use: your own, put in by Ann")).to_be_in_viewport()
    assert judged(page) == ([], [], False)

    page.goto("/")
    page.get_by_role("link", name="Larch House").click()
    page.goto(f"{page.url}/way")
    expect(page.get_by_text("Bits are your own;")).to_be_visible()
    assert judged(page) == ([], [], False)
    page.get_by_role("link", name="Your own figures").click()
    card.get_by_text("Put in your own").click()
    card.get_by_role("button", name="Take back to those that come with the program").click()
    expect(card.get_by_text("taken back to by Ann")).to_be_visible()
    assert judged(page) == ([], [], False)
