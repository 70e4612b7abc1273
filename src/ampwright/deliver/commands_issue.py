"""The commands that issue papers, list what was issued, and confirm numbers against one's own copy."""

from __future__ import annotations

import datetime
import getpass
import sys
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from ampwright.deliver.commands_store import JOBS, opened
from ampwright.deliver.door import BAD_FILE, figure_texts, job_of_file

if TYPE_CHECKING:
    from ampwright.deliver.issuing import NotReady
    from ampwright.deliver.store.shape import Place
    from ampwright.deliver.store.store import Store

WHO = click.option("--who", default="", help="The name that it is kept under; your login name without it.")
FILE = click.Path(path_type=Path, exists=True, dir_okay=False)


@click.command()
@click.argument("file", required=False, type=FILE)
@click.option("--job", "name", help="A job of the store, by its id, instead of a file.")
@JOBS
@click.option("--paper", "kinds", multiple=True, metavar="NAME",
              help="Issue this paper; as often as wanted. Without it: tests, commissioning, handover.")  # fmt: skip
@click.option("--date", "day", type=click.DateTime(["%Y-%m-%d"]), help="The day that the papers bear; today without.")
@click.option("--catalogue", type=FILE, help="A catalogue of your own, with your prices.")
@click.option("--prices", type=FILE, help="A price book of your own: small parts, firm, extras.")
@WHO
def issue(file: Path | None, name: str | None, place: Place, kinds: tuple[str, ...], day: datetime.datetime | None,
          catalogue: Path | None, prices: Path | None, who: str) -> None:  # fmt: skip
    """Issue papers of the job in FILE, or of a job of the store: numbered for good, and never changed after.

    A file is taken into the store first. A paper of a job that was issued before is superseded, not edited; the very
    same state is not issued twice. The exit status is 2 if something stands in the way: then nothing is issued and the
    reasons are printed; 3 if the job cannot be read or there is no such paper.
    """
    from ampwright.deliver import issuing
    from ampwright.deliver.figures import BadFigures
    from ampwright.deliver.store.firms import as_its_firm
    from ampwright.deliver.store.store import NoSuchJob

    if (file is None) == (name is None):
        raise click.UsageError("Name a job file, or a job of the store with --job.")
    kinds = papers_named(kinds)
    who, on = who or getpass.getuser(), day.date() if day else datetime.date.today()
    own, store = figure_texts(catalogue=catalogue, prices=prices), opened(place)
    try:
        job = name or _taken_in(store, file or Path(), who)
        made = issuing.issue(as_its_firm(store, job), job, kinds or issuing.USUAL, on, who, own)
    except (NoSuchJob, BadFigures) as wrong:
        _end(str(wrong))
    except issuing.NotReady as wrong:
        _draft(job, wrong)
    for each in made:
        click.echo(f"No. {each.label} is issued for job {job}; row {each.number}, hash {each.hash}")
    click.echo("Keep the last hash somewhere else too: `ampwright issued --check --ends-in HASH` asks for it.")


@click.command()
@JOBS
@click.option("--job", "name", help="The papers of this job alone.")
@click.option("--check", "checking", is_flag=True, help="Walk the whole list and name the first row that disagrees.")
@click.option("--ends-in", default="", metavar="HASH", help="With --check: a hash noted earlier that must be there.")
@click.option("--print", "numbers", type=int, multiple=True, metavar="ROW", help="Write the paper of this row.")
@click.option("--to", "folder", type=click.Path(path_type=Path, file_okay=False), default="papers", show_default=True,
              help="The folder that it is written into.")  # fmt: skip
def issued(place: Place, name: str | None, checking: bool, ends_in: str, numbers: tuple[int, ...],
           folder: Path) -> None:  # fmt: skip
    """List the issued papers, and which of them no longer agree with their job.

    A superseded paper prints as superseded. The exit status is 1 if a row does not agree with the list (--check), 2 if
    a paper no longer agrees with its job, 3 if there is no such row, else 0.
    """
    store = opened(place)
    if checking or ends_in:
        _check(store, ends_in)
    elif numbers:
        for each in numbers:
            _print(store, each, folder)
    else:
        sys.exit(_list(store, name))


@click.command()
@click.argument("file", type=FILE)
@click.argument("rows", nargs=-1, metavar="[ROW]...")
@JOBS
@click.option("--copy", default="", metavar="TEXT", help="Which copy you looked into: title, edition, printing.")
@WHO
def confirm(file: Path, rows: tuple[str, ...], place: Place, copy: str, who: str) -> None:
    """List the numbers and clauses from memory that the job in FILE rests on, or confirm ROWs of that list.

    Look each up in your own copy of the standard first: from then on no paper of yours is held back by it. If the row
    ever says something else, it is to be confirmed anew. Exit status 2 while something is left to confirm, else 0.
    """
    from ampwright.deliver.issuing import bare_pack
    from ampwright.deliver.store.trust import TrustBook

    store = opened(place)
    book, firm = TrustBook(store.engine), store.firm
    pack = bare_pack(job_of_file(file), confirmed=book.confirmed(firm))
    left = {each.what: each for each in pack.from_memory}
    if unknown := [each for each in rows if each not in left]:
        raise click.UsageError(f"Not in the list of what is left to confirm: {'; '.join(unknown)}.")
    if rows and not copy.strip():
        raise click.UsageError("Say with --copy which copy you looked into: title, edition, printing.")
    wanted = [each for each in pack.from_memory if each.what in rows]
    count = book.confirm(firm, [(each.what, each.says) for each in wanted], copy.strip(), who or getpass.getuser())
    if rows:
        click.echo(f"{count} confirmed against {copy.strip()}")
    left_now = [each for each in pack.from_memory if each.what not in rows]
    for each in left_now:
        click.echo(f"{each.what}\n    says {each.says}{f' ({each.where})' if each.where else ''}")
    click.echo(f"{len(left_now)} left to confirm")
    sys.exit(2 if left_now else 0)


def papers_named(kinds: tuple[str, ...]) -> tuple[str, ...]:
    """The papers of these names, each once; a name that none has ends the program."""
    from ampwright.deliver.documents.book import to_issue

    if unknown := [each for each in kinds if each not in to_issue()]:
        raise click.UsageError(f"There is no paper {', '.join(unknown)}. There are: {', '.join(to_issue())}.")
    return tuple(dict.fromkeys(kinds))


def _taken_in(store: Store, file: Path, who: str) -> str:
    """The job of the store that these bytes make: the same file makes the same job."""
    import hashlib

    job_of_file(file)
    text = file.read_text(encoding="utf-8")
    fingerprint = hashlib.sha256(text.encode()).hexdigest()
    return store.take_in(text, operation=f"file-{fingerprint[:48]}", who=who, origin=f"the file {file.name}",
                         folder=file.parent)  # fmt: skip


def _draft(job: str, wrong: NotReady) -> NoReturn:
    reasons = wrong.reasons
    says = "1 reason" if len(reasons) == 1 else f"{len(reasons)} reasons"
    click.echo(f"DRAFT: nothing is issued for job {job}; {says}:")
    for each in reasons:
        click.echo(f"  [{each.gate}] {each.says}")
    if any(each.gate == "person" for each in reasons):
        click.echo(f"To sign: `ampwright serve`, then /jobs/{job}/sign on that machine.")
    if any(each.gate == "memory" for each in reasons):
        click.echo("To confirm numbers against your own copy: `ampwright confirm FILE`.")
    if any(each.gate == "price" for each in reasons):
        click.echo("To issue by your own prices: `ampwright issue --catalogue FILE --prices FILE`.")
    if wrong.ready:
        click.echo(f"Nothing holds these: {', '.join(wrong.ready)} (--paper NAME).")
    sys.exit(2)


def _check(store: Store, ends_in: str) -> None:
    from ampwright.deliver.store.ledger import Ledger

    ledger = Ledger(store.engine)
    if broken := ledger.check(ends_in):
        click.echo(f"Row {broken.number} {f'({broken.label}) ' if broken.label else ''}does not agree: {broken.says}")
        sys.exit(1)
    rows = ledger.rows()
    click.echo(f"{len(rows)} rows, and each agrees with its paper and with the row before it")
    if rows:
        click.echo(f"The last hash is {rows[-1].hash}")


def _print(store: Store, number: int, folder: Path) -> None:
    from ampwright.deliver.issuing import printed
    from ampwright.deliver.store.ledger import Ledger

    made = printed(store, number)
    if made is None:
        _end(f"there is no row {number} in the list of issued papers")
    label = next(each.label for each in Ledger(store.engine).rows() if each.number == number)
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{label.replace(' ', '-')}.pdf"
    path.write_bytes(made)
    click.echo(f"{path} is written")


def _list(store: Store, name: str | None) -> int:
    from ampwright.deliver.figures import BadFigures
    from ampwright.deliver.standing import differs_words, standings
    from ampwright.deliver.store.store import NoSuchJob

    status = 0
    try:
        for job in (name,) if name else store.names():
            store.read(job)
            for each in reversed(standings(store, job)):
                row = each.issued
                says = f"superseded by No. {each.by.label}" if each.by else differs_words(each)
                click.echo(f"{row.number}  No. {row.label}, {row.day}, job {job}, {row.edition}: {says}")
                status = status if each.by or each.agrees else 2
    except (NoSuchJob, BadFigures) as wrong:
        _end(str(wrong))
    return status


def _end(says: str) -> NoReturn:
    click.echo(says, err=True)
    sys.exit(BAD_FILE)
