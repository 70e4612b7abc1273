"""The worst day that was found, drawn: the whole day by the minute, and the minutes that are worst for the fuse."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from textwrap import wrap

from ampwright.assess.load_cap.day import Day
from ampwright.assess.load_cap.reckoning import LineCap
from ampwright.assess.load_cap.replay import Floats
from ampwright.assess.load_cap.report import Report
from ampwright.working import up

WIDTH_PX, HEIGHT_PX = 480, 760  # read on a telephone: no letter is smaller than a thirty-second of the width
LEFT_PX, RIGHT_PX, LINE_PX, LETTERS_COUNT = 40, 452, 19, 54
INK, PAPER, GREY = "#1d2733", "#f6f4ee", "#8a8f96"
HOUSE, CAR, HEAT, WARN = "#4b6b8a", "#c98a2b", "#a33b2f", "#7a1f5c"
DAY_S, MINUTE_S, AROUND_S = 86_400, 60, 150
Corner = tuple[float, float]
Corners = Sequence[Corner]


@dataclass(frozen=True, slots=True)
class Frame:
    """A field of the drawing: its top and bottom in pixels, and what its axes run from and to."""

    top_px: int
    bottom_px: int
    from_s: float
    to_s: float
    most_a: float

    def x(self, at_s: float) -> float:
        """Pixels from the left."""
        return LEFT_PX + (RIGHT_PX - LEFT_PX) * (at_s - self.from_s) / (self.to_s - self.from_s)

    def y(self, value: float) -> float:
        """Pixels from the top."""
        return self.bottom_px - (self.bottom_px - self.top_px) * value / self.most_a


def picture(report: Report) -> str:
    """The drawing as SVG, with a title and a description for those who do not see it."""
    if report.line is None or report.day is None or report.line.situation is None:
        return _svg("Load cap: no day to draw yet", "Something is still to be found out.", [
            *_lines(40, "Nothing to draw yet: find out what the load cap asks for.")])  # fmt: skip
    line, day = report.line, report.day
    cap_a = report.line.situation.cap_a
    title = f"The worst day that was found against a load cap of {cap_a:g} A"
    words = (f"The current reaches {up(float(day.total_a.max()), 1)} A; the weakest fuse that conforms comes"
             f" {up(day.warmed_ratio)} of the way to melting; the tails reach {up(day.hottest_c, 0)} °C.")  # fmt: skip
    return _svg(title, words, [*_lines(26, f"{title}. {words}"), *_whole_day(line, day), *_worst_minutes(line, day)])


def _whole_day(line: LineCap, day: Day) -> Iterable[str]:
    most_a = _round_up(max(float(day.total_a.max()), line.limit.true_a, day.hottest_c))
    frame = Frame(150, 380, 0, DAY_S, most_a)
    minutes = range(0, len(day.total_a), MINUTE_S)
    highs = [(at_s, float(day.total_a[at_s:at_s + MINUTE_S].max())) for at_s in minutes]
    lows = [(at_s, float(day.total_a[at_s:at_s + MINUTE_S].min())) for at_s in minutes]
    yield _area(frame, [*highs, *reversed(lows)], HOUSE, 0.45)
    yield _line(frame, [(at_s, float(day.tails_c[at_s:at_s + MINUTE_S].max())) for at_s in minutes], HEAT)
    yield from _levels(frame, line)
    yield from _axis(frame, [(hour * 3600, f"{hour:02d}:00") for hour in range(0, 25, 6)])
    yield from _lines(122, "Each minute: current, lowest to highest, A (blue); tails, °C (red)")
    yield _mark(frame, day.fuse_at_s)


def _worst_minutes(line: LineCap, day: Day) -> Iterable[str]:
    start = max(0, min(day.fuse_at_s - AROUND_S, len(day.total_a) - 2 * AROUND_S))
    most_a = _round_up(max(float(day.total_a.max()), line.limit.true_a))
    frame = Frame(480, 710, start, start + 2 * AROUND_S, most_a)
    seconds = range(start, min(len(day.total_a), start + 2 * AROUND_S))
    house, total = _stairs(day.house_a, seconds), _stairs(day.total_a, seconds)
    yield _area(frame, [*total, (total[-1][0], 0), (start, 0)], CAR, 0.8)
    yield _area(frame, [*house, (house[-1][0], 0), (start, 0)], HOUSE, 0.9)
    second_px = frame.x(start + 1) - frame.x(start)
    yield from (f'<rect x="{frame.x(at_s):.1f}" y="{frame.bottom_px + 2}" width="{second_px:.2f}" height="6"'
                f' fill="{WARN}"/>' for at_s in seconds if day.lost[at_s])  # fmt: skip
    yield from _levels(frame, line)
    yield from _axis(frame, [(at_s, _clock(at_s)) for at_s in range(-(-start // 60) * 60, seconds[-1] + 1, 60)])
    yield from _lines(438, "Each second: house (blue), car on top of it (ochre), A; readings lost (purple)")


def _stairs(currents_a: Floats, seconds: range) -> list[Corner]:
    """A current that holds for each second, as the corners of its line."""
    return [(edge_s, float(currents_a[at_s])) for at_s in seconds for edge_s in (at_s, at_s + 1)]


def _levels(frame: Frame, line: LineCap) -> Iterable[str]:
    """The limit and the cap across the field."""
    cap_a = line.situation.cap_a if line.situation else 0.0
    for level_a, words, dash in ((line.limit.true_a, "may flow", ""), (cap_a, "cap", "6 4")):
        at_px = frame.y(level_a)
        yield (f'<line x1="{LEFT_PX}" x2="{RIGHT_PX}" y1="{at_px:.1f}" y2="{at_px:.1f}" stroke="{INK}"'
               f' stroke-width="1" stroke-dasharray="{dash or "none"}"/>')  # fmt: skip
        yield _text((RIGHT_PX, at_px + (14 if words == "cap" else -4)), f"{words} {level_a:g} A", anchor="end")


def _axis(frame: Frame, marks_s: Sequence[tuple[float, str]]) -> Iterable[str]:
    for step in range(5):
        level = frame.most_a * step / 4
        yield _text((LEFT_PX - 8, frame.y(level) + 4), f"{level:g}", anchor="end")
        yield (f'<line x1="{LEFT_PX}" x2="{RIGHT_PX}" y1="{frame.y(level):.1f}" y2="{frame.y(level):.1f}"'
               f' stroke="{GREY}" stroke-width="0.4"/>')  # fmt: skip
    for at_s, words in marks_s:
        yield _text((frame.x(at_s), frame.bottom_px + 22), words, anchor="middle")


def _mark(frame: Frame, at_s: float) -> str:
    at_px = frame.x(at_s)
    return (f'<path d="M{at_px:.1f} {frame.bottom_px} l-5 9 h10 z" fill="{WARN}"><title>the fuse is warmest'
            "</title></path>")  # fmt: skip


def _area(frame: Frame, corners: Corners, colour: str, opacity_ratio: float) -> str:
    drawn = " ".join(f"{frame.x(at_s):.1f},{frame.y(value):.1f}" for at_s, value in corners)
    return f'<polygon points="{drawn}" fill="{colour}" fill-opacity="{opacity_ratio:g}"/>'


def _line(frame: Frame, corners: Corners, colour: str) -> str:
    drawn = " ".join(f"{frame.x(at_s):.1f},{frame.y(value):.1f}" for at_s, value in corners)
    return f'<polyline points="{drawn}" fill="none" stroke="{colour}" stroke-width="1.4"/>'


def _lines(top_px: int, words: str) -> Iterable[str]:
    """Words from the left edge, broken where the width ends."""
    for number, line in enumerate(wrap(words.replace(" A", "\u00a0A"), LETTERS_COUNT)):
        yield _text((LEFT_PX - 24, top_px + LINE_PX * number), line)


def _text(at: Corner, words: str, anchor: str = "start") -> str:
    return f'<text x="{at[0]:.1f}" y="{at[1]:.1f}" text-anchor="{anchor}">{escape(words)}</text>'


def _round_up(value: float) -> float:
    return 40.0 * -(-value // 40)


def _clock(at_s: int) -> str:
    return f"{at_s // 3600:02d}:{at_s // 60 % 60:02d}"


def _svg(title: str, words: str, body: Iterable[str]) -> str:
    inside = "\n".join(body)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH_PX} {HEIGHT_PX}" role="img"'
        f' aria-labelledby="t d" font-family="DejaVu Sans, Helvetica, sans-serif" font-size="15" fill="{INK}">\n'
        f'<title id="t">{escape(title)}</title>\n<desc id="d">{escape(words)}</desc>\n'
        f'<rect width="{WIDTH_PX}" height="{HEIGHT_PX}" fill="{PAPER}"/>\n{inside}\n</svg>\n'
    )
