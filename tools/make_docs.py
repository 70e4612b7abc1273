"""Write the generated pages: docs/rules.md, docs/nomenclature.md, docs/job.schema.json and the README's picture."""

from __future__ import annotations

import json
from html import escape
from pathlib import Path

from ampwright.assess.assessment import assess
from ampwright.deliver.catalogue import nomenclature_markdown, rules_markdown
from ampwright.deliver.demo import JOBS, demo_files
from ampwright.deliver.screen import summary
from ampwright.job.files import parse, schema

DOCS = Path(__file__).parents[1] / "docs"
LINE_PX = 18
NO_BREAK = "\N{NO-BREAK SPACE}"
WIDTH_PX = 900
PICTURED_RULE = "voltage_drop"


def pages() -> dict[str, str]:
    """Name and text of every generated page."""
    return {
        "rules.md": rules_markdown(),
        "nomenclature.md": nomenclature_markdown(),
        "job.schema.json": json.dumps(schema(), indent=2, ensure_ascii=False) + "\n",
        "assess.svg": picture(),
    }


def picture() -> str:
    """One check of the first demo job as the terminal shows it, with its working."""
    job = parse(demo_files()[JOBS[0]])
    command = f"$ ampwright assess {JOBS[0]} --only {PICTURED_RULE} --working"
    lines = [command, "", *summary(assess(job, PICTURED_RULE), working=True).splitlines()]
    text = "\n".join(f'<text x="16" y="{28 + LINE_PX * number}">{escape(line).replace(" ", NO_BREAK)}</text>'
                     for number, line in enumerate(lines) if line)  # fmt: skip
    height_px = 28 + LINE_PX * len(lines)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH_PX} {height_px}" role="img"'
        ' font-family="DejaVu Sans Mono, Menlo, Consolas, monospace" font-size="13.5" fill="#1d2733">\n'
        "<title>A check with its working, line by line, as the terminal shows it</title>\n"
        f'<rect width="{WIDTH_PX}" height="{height_px}" rx="8" fill="#f6f4ee"/>\n'
        f'<g>\n{text}\n</g>\n</svg>\n'
    )


def main() -> None:
    """Write every page."""
    for name, text in pages().items():
        (DOCS / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
