"""What the tests of work without signal do on a phone again and again."""

from browsing import terrace
from drawn_photos import jpeg
from playwright.sync_api import expect

NEEDED_MS = 30_000


def kept_for_today(page):
    """Keep the job on the phone; its address."""
    home = terrace(page)
    page.evaluate("navigator.serviceWorker.ready")
    page.get_by_role("button", name="Keep it on this phone").tap()
    expect(page.get_by_text("the pages of this job are on this phone")).to_be_visible(timeout=NEEDED_MS)
    return home


def enter_ze(page, home, value):
    page.goto(f"{home}/part/cut-out")
    ze = page.locator("details[id='supply.ze_ohm']")
    if not ze.evaluate("each => each.open"):
        ze.locator("summary").tap()
    ze.get_by_text("Exact", exact=True).tap()
    page.locator("[id='supply.ze_ohm~low']").fill(value)
    page.locator("[id='supply.ze_ohm~because']").fill("")
    page.get_by_role("button", name="Save and judge again").tap()


def unsent(page, text):
    expect(page.locator("[data-unsent-count]")).to_have_text(text, timeout=NEEDED_MS)


def chosen(count):
    return [{"name": f"photo-{number}.jpg", "mimeType": "image/jpeg", "buffer": jpeg(number)}
            for number in range(count)]  # fmt: skip


def add_photos(page, home, count):
    page.goto(f"{home}/part/cut-out")
    page.get_by_label("What it shows").select_option("supply.cutout.rating_a")
    page.locator("#photo-file").set_input_files(chosen(count))
    page.get_by_role("button", name="Add the photos").tap()
