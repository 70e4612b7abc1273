"""The commands about the site sketch: routes, holes, and the drawing."""

from __future__ import annotations

import json
from pathlib import Path

import click

from ampwright.deliver.door import BAD_FILE, job_of, refused


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--catalogue", type=click.Path(path_type=Path), help="A catalogue of your own, with your prices.")
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
def route(context: click.Context, file: Path, catalogue: Path | None, no_design: bool, whole_catalogue: bool,
          working: bool, number: int, drawing: Path | None, narrow: bool, as_yaml: bool,
          as_machine: bool) -> None:  # fmt: skip
    """Find routes on the sketch of the job in FILE, from the board and from each wired sensor to the charge point.

    A route typed in the job gets its design beside them. The exit status is 0 if each route has a design, 2 if one has
    none yet; 3 if the file cannot be read or no route can be sought on its sketch.
    """
    from ampwright.deliver import route as of

    routes = of.routes_of(job_of(file), catalogue, design=not no_design, whole=whole_catalogue)
    if isinstance(routes, str):
        click.echo(routes, err=True)
        context.exit(BAD_FILE)
    if (drawing is not None or as_yaml) and number > len(routes.found):
        refused(file, (f"there is no route {number} to draw or print: {len(routes.found)} found on the sketch",))
    if drawing is not None:
        of.write_drawing(routes, number, drawing, narrow=narrow)
    if as_machine:
        from ampwright.deliver.route_machine import as_json

        click.echo(json.dumps(as_json(routes), indent=2, ensure_ascii=False))
    else:
        from ampwright.deliver.route_screen import routes_text

        click.echo(of.as_yaml(routes.found[number - 1]) if as_yaml else routes_text(routes, working=working))
    context.exit(0 if no_design or of.all_designed(routes) else 2)
