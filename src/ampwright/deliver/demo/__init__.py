"""Four invented jobs, kept apart from every fact."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from ampwright.deliver.demo.meter import meter_csv

JOBS = ("house_with_garage.yaml", "farmhouse.yaml", "terrace.yaml")
FINISHED = "bungalow.yaml"
METER = "house_with_garage_meter.csv"


def demo_files() -> dict[str, str]:
    """Name and text of every demo file."""
    files = {name: resources.files(__name__).joinpath(name).read_text(encoding="utf-8") for name in (*JOBS, FINISHED)}
    return {**files, METER: meter_csv()}


def write_demo(folder: Path) -> list[str]:
    """Write the demo into `folder` and say what was written; a file that differs from ours is left alone."""
    folder.mkdir(parents=True, exist_ok=True)
    said = []
    for name, text in demo_files().items():
        path = folder / name
        if path.exists() and path.read_text(encoding="utf-8") != text:
            said.append(f"{path} was changed by you and is left as it is")
            continue
        path.write_text(text, encoding="utf-8", newline="\n")
        said.append(f"{path} is written")
    return said
