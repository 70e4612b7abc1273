"""The files of the user's own that a job names: read by the readers of the commands, and put into the store."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from ampwright.deliver.store.job_files import LARGEST_BYTES_COUNT, Brought, FileReused, JobFile, free_name, is_name
from ampwright.job import half_hourly
from ampwright.job.british_clock import to_clock
from ampwright.job.faults import Fault
from ampwright.job.half_hourly import BadReadings, Gap, Readings
from ampwright.job.paths import at, changed
from ampwright.job.record import Job

if TYPE_CHECKING:
    from ampwright.deliver.store.history import Outcome
    from ampwright.deliver.store.store import Store



@dataclass(frozen=True, slots=True)
class Field:
    """A field that names a file: its path, what the file is, and how it is got."""

    path: str
    title: str
    hint: str


FIELDS = {
    "half-hourly": Field("installation.half_hourly.csv", "Half-hourly readings of the meter", "The customer asks the "
                         "supplier for a year of them: CSV, a column for the start of the half hour and one for kWh."),
    "generation": Field("generation.own_csv", "Readings of the generation", "A year of them from the inverter’s "
                        "portal: CSV, a column for the start and one headed with its unit, as in “generation kWh”."),
    "weather": Field("site.weather_file", "A year of sun here", "Only where there is one that is better than the "
                     "climate tables: EPW, PVGIS, TMY3 or TM2."),
}  # fmt: skip
MOST_GAPS_COUNT = 3
SUMMARY = ("highest_kwh", "highest_at", "days_count", "missing_count", "months")


class BadFile(Exception):
    """A file that cannot be used; `says` holds every reason, with lines of that file."""

    def __init__(self, says: Iterable[str]) -> None:
        self.says = tuple(says)
        super().__init__(*self.says)


@dataclass(frozen=True, slots=True)
class ReadIn:
    """What a file says: the fields that it fills, by path, and what was read in, in words."""

    new: dict[str, Any]
    says: str


def read_in(which: str, name: str, content: bytes) -> ReadIn:
    """Read a file of one of FIELDS as a command would read it. Raises BadFile with all that is wrong with it."""
    from ampwright.assess.forecast.own_generation import BadGeneration
    from ampwright.assess.forecast.weather_files import BadWeather

    if not content.strip():
        raise BadFile((f"{name} is empty; choose another file",))
    if len(content) > LARGEST_BYTES_COUNT:
        raise BadFile((f"{name} is over 16 MiB; a year of readings is far shorter, so is it the right file?",))
    with TemporaryDirectory(prefix="ampwright-") as made:
        path = Path(made) / Path(name).name
        path.write_bytes(content)
        try:
            return _READERS[which](path, name)
        except (BadReadings, BadGeneration, BadWeather) as bad:
            raise BadFile(bad.says) from bad


def brought(job: Job, folder: Path) -> tuple[tuple[Brought, ...], tuple[Fault, ...]]:
    """The files in a folder that a job names, and all that is wrong with them. One that is not there is passed over."""
    found, faults = [], []
    within = folder.resolve()
    for which, path in ((which, each.path) for which, each in FIELDS.items()):
        name = at(job, path)
        file = (within / name).resolve() if name and is_name(name) else within
        if within not in file.parents or not file.is_file():
            continue
        with file.open("rb") as opened:
            content = opened.read(LARGEST_BYTES_COUNT + 1)
        try:
            found.append(Brought(name, content, read_in(which, name, content).says))
        except BadFile as bad:
            faults += [Fault(None, path, says) for says in bad.says]
    return tuple(found), tuple(faults)


def put(store: Store, job: str, which: str, name: str, content: bytes, *, base: int, operation: str, who: str,
        origin: str) -> Outcome:  # fmt: skip
    """Keep a file of a job and name it in the record, both or neither.

    Raises BadFile, NoSuchJob, OperationReused, FileReused (also where another came since `base`), BadJobFile.
    """
    named = free_name(store.files.of_job(job), name, content)
    read = read_in(which, named, content)
    now = name_in(store.read(job)[0], which)
    if now not in (named, name_in(store.read(job, base)[0], which)):
        raise FileReused(f"somebody put in {now or 'none'} since; load the page again")
    return store.bring((Brought(named, content, read.says),), job, read.new, operation=operation, base=base, who=who,
                       origin=origin)  # fmt: skip


def name_in(job: Job, which: str) -> str:
    """The name of the file that a job names in one of FIELDS, or ""."""
    return (at(job, FIELDS[which].path) or "") if which in FIELDS else ""


@dataclass(frozen=True, slots=True)
class Files:
    """Of the files that a job names those that the store holds, and those it does not, by the path of the field."""

    held: dict[str, JobFile]
    missing: dict[str, str]

    @property
    def key(self) -> tuple[str, ...]:
        """What a kept answer that was worked out from these files is known by."""
        return tuple(f"{path} {each.hash}" for path, each in self.held.items())

    def folder(self, store: Store, job: str) -> AbstractContextManager[Path]:
        """A folder that has them, until it is left."""
        return store.files.folder(job, [each.name for each in self.held.values()])

    @contextmanager
    def opened(self, store: Store, job: str, record: Job) -> Iterator[tuple[Job, Path]]:
        """The job without the files that the store does not hold, and a folder with those that it does, until it is
        left."""
        with self.folder(store, job) as folder:
            yield changed(record, dict.fromkeys(self.missing)) if self.missing else record, folder


def files_of(store: Store, job: str, record: Job) -> Files:
    """The files of a job as its record names them. Raises NoSuchJob."""
    kept, named = store.files.of_job(job), {each.path: at(record, each.path) for each in FIELDS.values()}
    return Files({path: kept[name] for path, name in named.items() if name in kept},
                 {path: name for path, name in named.items() if name and name not in kept})  # fmt: skip


def _half_hours(path: Path, name: str) -> ReadIn:
    found = half_hourly.readings(path)
    summary = half_hourly.summary(found, name)
    filled = {f"installation.half_hourly.{each}": getattr(summary, each) for each in SUMMARY}
    return ReadIn({FIELDS["half-hourly"].path: name, **filled}, _half_hours_said(found, summary.days_count))


def _half_hours_said(found: Readings, days_count: Any) -> str:
    first, last = min(found.kwh), max(found.kwh) + half_hourly.HALF_HOUR
    begins, ends = (to_clock(each) if found.zoned else each for each in (first, last))
    clock = "by the British clock" if found.zoned else "by the file’s own clock"
    return (f"half-hourly readings from {begins:%Y-%m-%d %H:%M} to {ends:%Y-%m-%d %H:%M} {clock}, "
            f"{days_count:g} days; {_gaps(found.gaps, 'half hour')}")  # fmt: skip


def _generation(path: Path, name: str) -> ReadIn:
    from ampwright.assess.forecast.own_generation import read_generation

    found = read_generation(path)
    says = (f"readings of the generation every {found.step_min} min from {found.first:%Y-%m-%d %H:%M} to "
            f"{found.last:%Y-%m-%d %H:%M} UTC, {(found.last - found.first) / datetime.timedelta(days=1):g} days; "
            f"of the year that ends there {_gaps(found.gaps, 'minute')}; {'; '.join(found.came_from.notes)}")
    return ReadIn({FIELDS["generation"].path: name}, says)


def _weather(path: Path, name: str) -> ReadIn:
    from ampwright.assess.forecast.weather_files import read_weather

    found = read_weather(path, 1)
    place = found.place
    return ReadIn({FIELDS["weather"].path: name}, f"weather by the hour at {place.lat_deg:.2f}° north, "
                  f"{place.lon_deg:.2f}° east: {found.came_from.source}")  # fmt: skip


def _gaps(gaps: tuple[Gap, ...], unit: str) -> str:
    if not gaps:
        return f"no {unit} is missing"
    longest = sorted(gaps, key=lambda each: -each.missing_count)[:MOST_GAPS_COUNT]
    listed = ", ".join(f"{each.missing_count} from {each.start:%Y-%m-%d %H:%M}" for each in longest)
    more = len(gaps) - len(longest)
    count = sum(each.missing_count for each in gaps)
    return f"{count} {unit}{'s' if count > 1 else ''} missing ({listed}{f', and {more} shorter gaps' if more else ''})"


_READERS = {"half-hourly": _half_hours, "weather": _weather, "generation": _generation}
