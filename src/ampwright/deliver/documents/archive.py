"""The archive of a job: its file, the files beside it, its papers, and the SHA-256 of each."""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.writing import Printed
from ampwright.job.fields import fields, in_words
from ampwright.job.paths import at, pattern_of, spread
from ampwright.job.record import Job
from ampwright.working import written_day

SUMS, CONTENTS = "SHA256SUMS", "CONTENTS.txt"
NAMES_A_FILE = ("people[].signature", "installation.half_hourly.csv", "site.weather_file", "generation.own_csv")
PHOTOS = "photos."
FIRST_YEAR = 1980  # a zip knows no day before
PLAIN_FILE = 0o100644 << 16


def archive(pack: Pack, name: str, held: bytes, papers: Iterable[Printed]) -> bytes:
    """A zip of the job file, of every file beside it that its record names, and of these papers.

    `sha256sum -c SHA256SUMS` in the folder that it was unpacked into says whether a file was changed since. Nothing
    is packed tighter: PDFs and photographs are already, and every release of a packer gives other bytes.
    """
    with pack.beside() as (_, folder):
        beside, missing = _beside(pack.job, folder)
    files = {name: held, **beside, **{f"papers/{each}": made for each, made in papers}}
    files[CONTENTS] = "\n".join(_contents(pack, files, missing)).encode()
    files[SUMS] = sums(files).encode()
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as packed:
        for each in sorted(files):
            packed.writestr(_entry(each, pack), files[each])
    return out.getvalue()


def write_archive(pack: Pack, name: str, text: str, folder: Path, papers: Iterable[Path]) -> Path:
    """Write the archive of the job whose file has this name and text, with these papers, into a folder."""
    path = folder / f"{Path(name).stem}-archive.zip"
    path.write_bytes(archive(pack, name, text.encode(), [(each.name, each.read_bytes()) for each in papers]))
    return path


def sums(files: Mapping[str, bytes]) -> str:
    """The lines of `sha256sum`: the hash, two spaces, the name."""
    return "".join(f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n" for name in sorted(files))


def named_files(job: Job) -> Iterator[tuple[str, str]]:
    """Path and name of each file that the record names."""
    patterns = [*NAMES_A_FILE, *(path for path in fields() if path.startswith(PHOTOS))]
    for path in (path for pattern in patterns for path in spread(job, pattern) if pattern_of(path) in fields()):
        if at(job, path):
            yield path, at(job, path)


def _beside(job: Job, folder: Path) -> tuple[dict[str, bytes], list[str]]:
    """The files that stand in the folder of the job, and in words those that do not; none from outside is taken."""
    found, missing = {}, []
    within = folder.resolve()
    for path, name in named_files(job):
        file = (within / name).resolve()
        if within in file.parents and _is_plain(name) and file.is_file():
            found[f"beside/{file.relative_to(within).as_posix()}"] = file.read_bytes()
        else:
            missing.append(f"{in_words(path)}: {' '.join(name.split())}")
    return found, missing


def _is_plain(name: str) -> bool:
    """Whether a list of sums can hold the name as it is."""
    return "\\" not in name and name.isprintable()


def _contents(pack: Pack, files: Mapping[str, bytes], missing: list[str]) -> Iterator[str]:
    yield f"Archive of the job: {' '.join(pack.name.split())}"
    yield f"Its papers bear the day {written_day(pack.day)}; judged by {pack.assessment.edition}."
    if pack.gates:
        yield f"A paper that says DRAFT is not to be issued; {len(pack.gates)} reasons in all, its own at its end."
    yield "The same job file stands inside each PDF as well."
    yield f"To see that nothing was changed since: sha256sum -c {SUMS}"
    yield from ("", "Files", *(f"  {name}" for name in sorted(files)))
    if missing:
        yield from ("", "Named in the record and not found beside the job file", *(f"  {each}" for each in missing))
    yield ""


def _entry(name: str, pack: Pack) -> zipfile.ZipInfo:
    day = pack.day
    entry = zipfile.ZipInfo(name, (max(day.year, FIRST_YEAR), day.month, day.day, 0, 0, 0))
    entry.create_system, entry.external_attr = 3, PLAIN_FILE
    return entry
