"""The commands about the site sketch: routes, holes, and the drawing."""

from __future__ import annotations

import json
from pathlib import Path

import click

from ampwright.deliver.door import BAD_FILE, figures_of, job_of, refused

EFFORTS = "Minutes of work and distances of your own, with every row of effort.csv."
BITS = "The drill bits and sleeves that you carry, as in bits.csv."


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--catalogue", type=click.Path(path_type=Path), help="A catalogue of your own, with your prices.")
@click.option("--efforts", type=click.Path(path_type=Path), help=EFFORTS)
@click.option("--bits", type=click.Path(path_type=Path), help=BITS)
@click.option("--no-design", is_flag=True, help="Find the routes and holes alone, without the design that each needs.")
@click.option("--whole-catalogue", is_flag=True,
              help="Search all of it for every route (slow), not for the first alone.")  # fmt: skip
@click.option("--working", is_flag=True, help="Show the arithmetic of every hole, line by line.")
@click.option("--number", type=click.IntRange(min=1), default=1, show_default=True,
              help="Which route to draw, or to print as YAML.")  # fmt: skip
@click.option("--drawing", type=click.Path(path_type=Path, dir_okay=False), metavar="OUT.svg",
              help="Draw plan, elevations and single line to scale, on a sheet of A3.")  # fmt: skip
@click.option("--narrow", is_flag=True, help="Draw in one column, for a telephone, instead.")
@click.option("--yaml", "as_yaml", is_flag=True, help="Print that one route alone, to put into the job file.")
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
@click.pass_context
def route(context: click.Context, file: Path, catalogue: Path | None, efforts: Path | None, bits: Path | None,
          no_design: bool, whole_catalogue: bool, working: bool, number: int, drawing: Path | None, narrow: bool,
          as_yaml: bool, as_machine: bool) -> None:  # fmt: skip
    """Find routes on the sketch of the job in FILE, from the board and from each wired sensor to the charge point.

    A route typed in the job gets its design beside them. The exit status is 0 if each route has a design, 2 if one has
    none yet; 3 if a file cannot be read or no route can be sought on the sketch.
    """
    from ampwright.deliver import route as of

    figures = figures_of(file, catalogue=catalogue, efforts=efforts, bits=bits)
    routes = of.routes_of(job_of(file), figures, design=not no_design, whole=whole_catalogue)
    if isinstance(routes, str):
        click.echo(routes, err=True)
        context.exit(BAD_FILE)
    if (drawing is not None or as_yaml) and number > len(routes.found):
        refused(file, (f"there is no route {number} to draw or print: {len(routes.found)} found on the sketch",))
    if drawing is not None:
        of.write_drawing(routes, number, drawing, figures, narrow=narrow)
    if as_machine:
        from ampwright.deliver.route_machine import as_json

        click.echo(json.dumps(as_json(routes), indent=2, ensure_ascii=False))
    else:
        from ampwright.deliver.route_screen import routes_text

        click.echo(of.as_yaml(routes.found[number - 1]) if as_yaml else
                   routes_text(routes, working=working, whose=figures.ways_say))  # fmt: skip
    context.exit(0 if no_design or of.all_designed(routes) else 2)


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--bits", type=click.Path(path_type=Path), help=BITS)
@click.option("--catalogue", type=click.Path(path_type=Path), help="A catalogue of your own, with your minutes.")
@click.option("--prices", type=click.Path(path_type=Path), help="A price book of your own, with your minutes.")
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
@click.pass_context
def materials(context: click.Context, file: Path, bits: Path | None, catalogue: Path | None, prices: Path | None,
              as_machine: bool) -> None:  # fmt: skip
    """What the job in FILE needs: cable to cut with slack and ends, clips and cleats, glands; the work and its minutes.

    The exit status is 2 if something must be found out first, else 0; 3 if a file cannot be read.
    """
    from ampwright.assess.materials.take_off import take_off
    from ampwright.assess.quote.work import with_work
    from ampwright.deliver.materials import take_off_json, take_off_text

    job = job_of(file)
    figures = figures_of(file, catalogue=catalogue, prices=prices, bits=bits)
    with figures.in_use():
        found = with_work(take_off(job), job, figures.catalogue, figures.book)
    click.echo(json.dumps(take_off_json(found), indent=2, ensure_ascii=False) if as_machine else
               take_off_text(job, found))  # fmt: skip
    context.exit(2 if found.missing else 0)


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--drum", "drums_m", multiple=True, type=click.FloatRange(1, 5000), default=(25.0, 50.0, 100.0),
              show_default=True, help="Length of drum that can be bought, in metres; as often as there are.")
@click.option("--in-hand", "in_hand_m", multiple=True, type=click.FloatRange(0.1, 5000),
              help="Length of cable of each kind that is left over, in metres.")  # fmt: skip
@click.pass_context
def drums(context: click.Context, files: tuple[Path, ...], drums_m: tuple[float, ...],
          in_hand_m: tuple[float, ...]) -> None:  # fmt: skip
    """Which drum to cut each cable of the jobs in FILES from, so that the fewest metres are bought.

    A length that is a range is taken at its longest. The exit status is 2 if a job's cable cannot be cut yet, else 0;
    3 if a file cannot be read or no drum is long enough.
    """
    from ampwright.assess.materials.drums import CannotCut
    from ampwright.assess.materials.take_off import plans_for
    from ampwright.deliver.materials import drums_text

    jobs = [(each.stem, job_of(each)) for each in files]
    try:
        plans, unknown = plans_for(jobs, drums_m, in_hand_m)
    except CannotCut as wrong:
        click.echo(str(wrong), err=True)
        context.exit(BAD_FILE)
    click.echo(drums_text(plans))
    for name in unknown:
        click.echo(f"{name}: not all of its cable can be cut yet; `ampwright materials` says what is asked.", err=True)
    context.exit(2 if unknown else 0)
