"""The commands about the load cap and its sensors."""

from __future__ import annotations

import json
from pathlib import Path

import click

from ampwright.deliver.door import job_of, refused


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--working", is_flag=True, help="Show the arithmetic of every answer, line by line.")
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
@click.option("--plot", type=click.Path(path_type=Path, dir_okay=False), metavar="OUT.svg",
              help="Draw the worst day that was found into this file.")  # fmt: skip
@click.pass_context
def loadcap(context: click.Context, file: Path, working: bool, as_machine: bool, plot: Path | None) -> None:
    """The load cap to set for the job in FILE, why it holds, and an attempt to break it.

    The exit status is as that of `assess`: 1 if an answer is not met, else 2 if one is not yet known, else 0; 3 if
    the file cannot be read as a job.
    """
    from ampwright.assess.load_cap.report import report
    from ampwright.deliver import load_cap

    found = report(job_of(file))
    if plot is not None:
        load_cap.write_plot(found, plot)
    if as_machine:
        click.echo(json.dumps(load_cap.as_json(found), indent=2, ensure_ascii=False))
    else:
        click.echo(load_cap.summary(found, working=working))
    context.exit(found.exit_status)


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
@click.option("--working", is_flag=True, help="Show the arithmetic of every lead, line by line.")
@click.option("--drawing", type=click.Path(path_type=Path), help="Write the single-line with its sensors as SVG.")
def sensors(file: Path, as_machine: bool, working: bool, drawing: Path | None) -> None:
    """Say where each sensor of the job in FILE goes, what it sees, and what it would show anywhere else."""
    from ampwright.assess.sensors.placement import place
    from ampwright.assess.sensors.singleline import BadSingleLine

    try:
        plan = place(job_of(file))
    except BadSingleLine as bad:
        refused(file, bad.faults)
    if drawing is not None:
        from ampwright.deliver.sensor_drawing import drawing as draw

        drawing.write_text(draw(plan), encoding="utf-8", newline="\n")
    if as_machine:
        from ampwright.deliver.sensors_machine import plan_as_json

        click.echo(json.dumps(plan_as_json(plan), indent=2, ensure_ascii=False))
    else:
        from ampwright.deliver.sensors import plan_text

        click.echo(plan_text(plan, working=working))


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
@click.pass_context
def diagnose(context: click.Context, file: Path, as_machine: bool) -> None:
    """Find the wrong sensor from the readings under tests, sensing in FILE.

    The exit status is 1 if a sensor is surely wrong, else 2 if one is not yet known, else 0; 3 if the file or its
    readings cannot be read.
    """
    from ampwright.assess.sensors.diagnosis import diagnose as judge
    from ampwright.assess.sensors.session import BadReadings
    from ampwright.assess.sensors.singleline import BadSingleLine

    try:
        found = judge(job_of(file))
    except (BadReadings, BadSingleLine) as bad:
        refused(file, bad.faults)
    if as_machine:
        from ampwright.deliver.sensors_machine import diagnosis_as_json

        click.echo(json.dumps(diagnosis_as_json(found), indent=2, ensure_ascii=False))
    else:
        from ampwright.deliver.sensors import diagnosis_text

        click.echo(diagnosis_text(found))
    context.exit(found.exit_status)


@click.command()
@click.option("--seed", type=int, default=None, help="The same number hides the same fault.")
@click.option("--level", type=click.Choice(["first", "usual", "hard"]), default="first", show_default=True,
              help="first: the supplier's meter and the inverter's display can be read. usual: sensors only. "
                   "hard: three phases, and what the record does not know.")  # fmt: skip
@click.pass_context
def practice(context: click.Context, seed: int | None, level: str) -> None:
    """Find a hidden fault in an invented home by switching and reading. The exit status is 0 if you found it."""
    import secrets

    from ampwright.assess.sensors.hide import hide
    from ampwright.deliver.practice import play, practice_job

    seed = secrets.randbelow(1_000_000) if seed is None else seed
    click.echo(f"Practice no. {seed}, level {level}.")
    home = hide(practice_job(3 if level == "hard" else 1), seed, surprises=level == "hard")
    home.meters_read = level == "first"
    context.exit(play(home, click.echo, lambda words: click.prompt(words, prompt_suffix="", type=str)))
