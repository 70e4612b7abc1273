"""The server as a person starts it, a phone before it, and what holds a page to account."""

import re
import signal
import subprocess
import sys
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe

CHROMIUM = "/usr/bin/chromium"
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
RULES = {"runOnly": {"type": "tag", "values": TAGS}, "rules": {"target-size": {"enabled": True}}}
COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}
DARK = "matchMedia('(prefers-color-scheme: dark)').matches"
SMALL = """() => [...document.querySelectorAll(
    'a, button, select, textarea, summary, label.pick, input:not([type=hidden])')]
  .filter((each) => each.checkVisibility() && !each.matches('.pick input, .skip'))
  .map((each) => [each.outerHTML.slice(0, 90), each.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.height < 43.9 || box.width < 43.9)).map(([html]) => html)"""


class Server:
    """`ampwright serve` on a free port, over one file of jobs with the demo in it."""

    def __init__(self, folder: Path, *more: str) -> None:
        self.folder, self.more = folder, more
        self.start()

    def start(self, port: str = "0") -> None:
        """Begin, at a port or at any that is free, and wait until it says where it is."""
        command = [sys.executable, "-u", "-m", "ampwright", "serve", "--port", port, "--with-demo", "--who", "Ann",
                   *self.more]  # fmt: skip
        self.process = subprocess.Popen(command, cwd=self.folder, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        found = re.search(r"http://\S+", self.process.stdout.readline())
        assert found is not None
        self.address = found[0]

    def start_again(self) -> None:
        """Begin at the address where it was before."""
        self.start(self.address.rsplit(":", 1)[1])

    def kill(self) -> None:
        """End it as a power cut would."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()
        assert self.process.stdout is not None
        self.process.stdout.close()


def terrace(page) -> str:  # type: ignore[no-untyped-def]
    """Open the job that was quoted from photographs; its address."""
    return opened(page, "3 Example Terrace")


def opened(page, job: str) -> str:  # type: ignore[no-untyped-def]
    """Open a job by its title; its address."""
    page.goto("/")
    page.get_by_role("link", name=job).click()
    page.get_by_role("heading", name="The line", exact=True).wait_for()
    return str(page.url)


def judged(page):  # type: ignore[no-untyped-def]
    """What axe-core, a ruler and the width of the screen have against a page with everything on it unfolded.

    In the dark only colours differ, so that its rules of colour alone are asked there.
    """
    page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    dark = page.evaluate(DARK)
    found = Axe().run(page, options=COLOURS if dark else RULES).response
    assert len(found["passes"]) > (0 if dark else 10)
    wrong = [(each["id"], each["nodes"][0]["html"][:160]) for each in found["violations"]]
    wide = page.evaluate("document.documentElement.scrollWidth > window.innerWidth")
    return wrong, page.evaluate(SMALL), wide
