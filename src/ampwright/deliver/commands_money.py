"""The command about what to ask for the job."""

from __future__ import annotations

import json
from pathlib import Path

import click

from ampwright.deliver.door import figures_of, job_of, proposal_of, refused


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--catalogue", type=click.Path(path_type=Path), help="A catalogue of your own, with your prices.")
@click.option("--prices", type=click.Path(path_type=Path), help="A price book of your own: small parts, firm, extras.")
@click.option("--design", "number", type=click.IntRange(min=1), default=1, show_default=True,
              help="Which of the designs that `ampwright design` prints.")  # fmt: skip
@click.option("--visit", "with_visit", is_flag=True, help="Say reading by reading what a visit decides; takes longer.")
@click.option("--json", "as_machine", is_flag=True, help="Print JSON of a stable shape instead of text.")
@click.pass_context
def quote(context: click.Context, file: Path, catalogue: Path | None, prices: Path | None, number: int,
          with_visit: bool, as_machine: bool) -> None:  # fmt: skip
    """Price a design for the job in FILE: line by line, as a band while the survey has ranges.

    The exit status is 1 if no design stands, 2 if the price hangs on what is not known yet, else 0; 3 if the file, the
    catalogue or the price book cannot be read.
    """
    from ampwright.assess.visit import visit
    from ampwright.deliver.offer import Offer
    from ampwright.deliver.quote import NOTE, note, quote_json, quote_text

    figures = figures_of(file, catalogue=catalogue, prices=prices)
    job = job_of(file)
    proposal = proposal_of(job, figures.catalogue)
    if not proposal.front:
        click.echo("No design of the catalogue stands, so there is nothing to price: `ampwright design` says why.")
        context.exit(1)
    if number > len(proposal.best):
        refused(file, (f"there is no design {number}: {len(proposal.best)} are printed by `ampwright design`",))
    offer = Offer(proposal, number, figures.catalogue, figures.book, visit(job, proposal) if with_visit else None)
    with figures.in_use():
        click.echo(json.dumps(quote_json(offer), indent=2, ensure_ascii=False) if as_machine else
                   quote_text(offer, note(figures.prices_say) if figures.own else NOTE))  # fmt: skip
    context.exit(offer.exit_status)
