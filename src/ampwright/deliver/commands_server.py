"""The commands about jobs on a server: which there are, fetch one into a file, send a file's changes back."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any, NoReturn

import click

from ampwright.deliver.door import BAD_FILE, job_of_file, server_in_use
from ampwright.deliver.job_copy import Stamp, differences, operation_of, parted, set_aside, stamped, write
from ampwright.deliver.server import ID, Server, ServerSays
from ampwright.deliver.store.values import overlap

HELD = 2


@click.command()
def jobs() -> None:
    """List the jobs of the server: id, reference, title. The id stands for FILE in every command.

    The exit status is 3 if the server cannot be asked.
    """
    try:
        listed = _server().jobs()
    except ServerSays as wrong:
        _end(str(wrong))
    for each in listed:
        click.echo("  ".join([each["id"], f"{_plain(each['reference']):<12}", _plain(each["title"])]).rstrip())


@click.command()
@click.argument("job")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
def pull(job: str, file: Path) -> None:
    """Fetch the JOB of the server into FILE, whose first line then says what it is a copy of.

    A copy with work in it that was not pushed is not overwritten; one with comments or a layout of your own is kept
    beside the new one. The exit status is 3 if it cannot be fetched or written.
    """
    from ampwright.job.files import dump

    if not ID.fullmatch(job):
        _end(f"{job} is not the id of a job; `ampwright jobs` lists them.")
    try:
        server = _server()
        record, head = server.read(job)
        if file.exists():
            _make_room(server, job, file)
    except ServerSays as wrong:
        _end(str(wrong))
    write(file, stamped(Stamp(job, server.address, head), dump(record)))
    click.echo(f"{file} is the job as it stands at {server.address}")


@click.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
def push(file: Path) -> None:
    """Send what was changed in FILE, a copy that `ampwright pull` made; of another FILE, make a job of the server.

    What others changed meanwhile is never overwritten: such an entry of yours is held there, for somebody to decide.
    The exit status is 2 if anything is held, 3 if nothing could be sent.
    """
    from ampwright.job.files import values_of

    job = job_of_file(file)
    text = file.read_text(encoding="utf-8-sig")
    stamp, _ = parted(text)
    values = values_of(job)
    try:
        server = _server()
        if stamp is None:
            made = server.begin(values, operation_of("begin", values))
            _stamp_as(file, text, Stamp(made["job"], server.address, made["head"]))
            click.echo(f"{file} is now job {made['job']} at {server.address}")
            return
        _check_server(stamp, server, file)
        outcome = _sent(server, stamp, values)
        now, head = server.read(stamp.job)
    except ServerSays as wrong:
        _end(str(wrong))
    _tell(outcome)
    if outcome["held"]:
        sys.exit(HELD)
    if others := differences(values, values_of(now)):
        click.echo(f"Others changed the job meanwhile, in {len(others)} places: `ampwright pull {stamp.job} {file}` "
                   "brings that into the file.")  # fmt: skip
        return
    _stamp_as(file, text, Stamp(stamp.job, stamp.server, head))


def _sent(server: Server, stamp: Stamp, values: dict[str, Any]) -> dict[str, Any]:
    from ampwright.job.files import values_of

    base, _ = server.read(stamp.job, stamp.change)
    new = differences(values_of(base), values)
    if not new:
        return {"taken": [], "held": []}
    return server.change(stamp.job, new, stamp.change, operation_of(stamp.job, stamp.change, new))


def _make_room(server: Server, job: str, file: Path) -> None:
    """See that nothing is lost where a file is about to be written over."""
    from ampwright.job.files import dump, values_of

    stamp, rest = parted(file.read_text(encoding="utf-8-sig"))
    if stamp is None or stamp.job != job:
        _end(f"{file} is there already and no copy of this job; give another name.")
    _check_server(stamp, server, file)
    base, _ = server.read(job, stamp.change)
    now, _ = server.read(job)
    mine = values_of(job_of_file(file))
    wanting = differences(values_of(now), mine)
    unsent = [path for path in differences(values_of(base), mine) if any(overlap(path, each) for each in wanting)]
    if unsent:
        _end(f"{file} has work that the server has not: {', '.join(unsent)}. Push it first, or pull into another file.")
    if rest != dump(base):
        click.echo(f"Your own layout and comments are kept in {set_aside(file)}")


def _check_server(stamp: Stamp, server: Server, file: Path) -> None:
    if stamp.server != server.address:
        _end(f"{file} is a copy of a job at {stamp.server} and not at {server.address}. If that is the same server, "
             "correct its first line.")  # fmt: skip


def _stamp_as(file: Path, text: str, stamp: Stamp) -> None:
    if file.read_text(encoding="utf-8-sig") != text:
        _end(f"{file} was written to meanwhile. What it held before was sent; push again.")
    write(file, stamped(stamp, text))


def _tell(outcome: dict[str, Any]) -> None:
    from ampwright.job.fields import in_words

    if not outcome["taken"] and not outcome["held"]:
        click.echo("There is nothing new to send.")
    for each in outcome["taken"]:
        click.echo(f"sent: {in_words(each['path'])}")
    for each in outcome["held"]:
        theirs, yours = _plain(each["old"]), _plain(each["new"])
        click.echo(f"HELD: {in_words(each['path'])}: somebody entered {theirs}, you {yours}; "
                   "decide on the page of the job")  # fmt: skip


def _plain(value: Any) -> str:
    """A value of the server on one line, without signs that a terminal would obey."""
    text = "nothing" if value is None else str(value)
    return "".join(sign if sign.isprintable() else " " for sign in text)


def _server() -> Server:
    server = server_in_use()
    if server is None:
        raise click.UsageError("Name the server: `ampwright --server http://localhost:8722 ...`, or AMPWRIGHT_SERVER.")
    return server


def _end(says: str) -> NoReturn:
    click.echo(says, err=True)
    sys.exit(BAD_FILE)
