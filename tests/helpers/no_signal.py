"""What the tests of work without signal do on a phone again and again."""

from browsing import Server, opened
from drawn_photos import jpeg
from playwright.sync_api import FilePayload, Page, expect

NEEDED_MS = 30_000


def gone(page: Page, server: Server) -> None:
    """No signal at all: the server is killed and the phone is off the network."""
    server.kill()
    page.context.set_offline(True)


def back(page: Page, server: Server) -> None:
    """The server is started again, and the phone has signal."""
    server.start_again()
    page.context.set_offline(False)


def kept_for_today(page: Page, job: str = "3 Example Terrace") -> str:
    """Keep a job on the phone; its address."""
    home = opened(page, job)
    page.evaluate("navigator.serviceWorker.ready")
    page.get_by_role("button", name="Keep it on this phone").tap()
    expect(page.get_by_text("the pages of this job are on this phone")).to_be_visible(timeout=NEEDED_MS)
    return home


def enter_ze(page: Page, home: str, value: str) -> None:
    """Type a reading of Ze and save it."""
    page.goto(f"{home}/part/cut-out")
    ze = page.locator("details[id='supply.ze_ohm']")
    if not ze.evaluate("each => each.open"):
        ze.locator("summary").tap()
    ze.get_by_text("Exact", exact=True).tap()
    page.locator("[id='supply.ze_ohm~low']").fill(value)
    page.locator("[id='supply.ze_ohm~because']").fill("")
    page.get_by_role("button", name="Save and judge again").tap()


def unsent(page: Page, text: str) -> None:
    """Wait until the bar says so."""
    expect(page.locator("[data-unsent-count]")).to_have_text(text, timeout=NEEDED_MS)


def chosen(count: int) -> list[FilePayload]:
    """Photos as a phone's picture book gives them."""
    return [{"name": f"photo-{number}.jpg", "mimeType": "image/jpeg", "buffer": jpeg(number)}
            for number in range(count)]  # fmt: skip


def add_photos(page: Page, home: str, count: int) -> None:
    """Choose photos of the cut-out's rating and add them."""
    page.goto(f"{home}/part/cut-out")
    page.get_by_label("What it shows").select_option("supply.cutout.rating_a")
    page.locator("#photo-file").set_input_files(chosen(count))
    page.get_by_role("button", name="Add the photos").tap()
