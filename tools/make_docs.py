"""Write the generated pages: docs/rules.md and docs/nomenclature.md."""

from pathlib import Path

from ampwright.deliver.catalogue import nomenclature_markdown, rules_markdown

DOCS = Path(__file__).parents[1] / "docs"
PAGES = {"rules.md": rules_markdown, "nomenclature.md": nomenclature_markdown}


def main() -> None:
    """Write every page."""
    for name, page in PAGES.items():
        (DOCS / name).write_text(page(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
