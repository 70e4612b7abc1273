"""Write the golden texts of the papers anew (`make goldens`). Read what changed before you keep it: `git diff`."""

from __future__ import annotations

from papers_read import GOLDEN_JOBS, GOLDENS, golden, printed_demo, text_of


def main() -> None:
    """Write one file for each job."""
    GOLDENS.mkdir(exist_ok=True)
    for name in GOLDEN_JOBS:
        golden(name).write_text(text_of(printed_demo(name)), encoding="utf-8", newline="\n")
        print(f"{golden(name)} is written")


if __name__ == "__main__":
    main()
