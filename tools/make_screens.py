"""Photographs the main screens of the web app with the demo jobs, for docs/screens.md: `make screens`.

A server on a free port, headless Chromium at the size of a phone and of a desk, few colours so that files are small.
"""

from __future__ import annotations

import io
import sys
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).parent.parent
sys.path.insert(0, str(ROOT / "tests" / "helpers"))

from browsing import CHROMIUM, PHONE, Server  # noqa: E402  the helpers of the tests are no package

FOLDER, COLOURS_COUNT, LONGEST_PX, LONGEST_MS = ROOT / "docs" / "screens", 64, 1700, 300_000
DESK = {"viewport": {"width": 1280, "height": 800}}
JOB = "Larch House"
# name, address below the job, size, what it shows
SCREENS = (
    ("line", "", PHONE, "The line of a job: each part with what is known and what its checks say"),
    ("survey", "/part/meter", PHONE, "A part is surveyed: exact, a range with its reason, or not seen"),
    ("checks", "/checks", PHONE, "Every check with its clause, its sentence and its arithmetic"),
    ("load-cap", "/load-cap", DESK, "The load cap, why it holds, and the worst day tried against it"),
    ("sensors", "/sensors", PHONE, "Where each sensor goes, and its test as a conversation"),
    ("sketch", "/sketch", DESK, "The sketch, drawn as it is typed"),
    ("way", "/way", DESK, "Ways for the cable, with every hole"),
    ("price", "/price", PHONE, "The quote, line by line"),
    ("sheet", "/sheet", PHONE, "The test sheet: what each test should read, and its limit"),
    ("due", "/due", PHONE, "What is owed to whom by when"),
    ("sunshine", "/sunshine", DESK, "How much of the driving comes from the roof, as a band"),
    ("issued", "/issued", PHONE, "What each paper waits for before it is issued"),
)


def photographed(page: Page, address: str) -> bytes:
    """A page as PNG; where it offers a long run, that is begun and waited for."""
    page.goto(address)
    begin = page.locator("form[data-run] button.main")
    if begin.count():
        with page.expect_navigation(timeout=LONGEST_MS):
            begin.first.click()
    page.wait_for_load_state("networkidle")
    return page.screenshot(full_page=True)


def reduced(png: bytes) -> Image.Image:
    """No longer than some screens, and of few colours."""
    picture = Image.open(io.BytesIO(png)).convert("RGB")
    picture = picture.crop((0, 0, picture.width, min(picture.height, LONGEST_PX)))
    return picture.quantize(COLOURS_COUNT, dither=Image.Dither.NONE)


def main() -> None:
    """Write the pictures and the page that shows them."""
    FOLDER.mkdir(exist_ok=True)
    says = ["# The screens", "", "Made by `make screens` from the invented jobs that come with the program.", ""]
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as player:
        server = Server(Path(folder))
        browser = player.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        try:
            for name, below, size, told in SCREENS:
                page = browser.new_context(**size, base_url=server.address).new_page()
                page.goto("/")
                page.get_by_role("link", name=JOB).first.click()
                made = reduced(photographed(page, page.url.rstrip("/") + below))
                made.save(FOLDER / f"{name}.png", optimize=True)
                says += [f"## {told}", "", f"![{told}](screens/{name}.png)", ""]
                page.context.close()
        finally:
            server.kill()
    (FOLDER.parent / "screens.md").write_text("\n".join(says).rstrip() + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
