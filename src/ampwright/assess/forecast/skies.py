"""The sun over a job, year by year: from the user's own files if the job names any, else from the climate tables."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from ampwright.assess.forecast.clock import Array
from ampwright.assess.forecast.forecast import CannotForecast, Source, refuse
from ampwright.assess.forecast.own_generation import BadGeneration, OwnGeneration, read_generation
from ampwright.assess.forecast.roof import peak_of
from ampwright.assess.forecast.sun import NoRegion, NotKnown, Weather, generation_kw, region_of, weather_year
from ampwright.assess.forecast.weather_files import BadWeather, read_weather
from ampwright.job.half_hourly import Gap
from ampwright.job.record import Job

MOST_GAPS_COUNT = 8
FILE_SPREAD = "its years are taken in turn: where it holds one, the band has nothing of the weather's spread"


@dataclass(frozen=True, slots=True)
class Skies:
    """What the arrays give in the years of a job, kW by minute. `peak_kw` is the size of the arrays that were read."""

    weather_file: Path | None = None
    own_file: Path | None = None
    peak_kw: float = 0.0

    def __call__(self, job: Job, seed: int, number: int) -> Array:
        """One year: readings of the arrays where there are any (in step with their size), else drawn."""
        if self.own_file is None:
            return generation_kw(job, self.weather(job, seed, number))
        own = _own(self.own_file)
        ratio = self._grown_ratio(job)
        if not own.gaps:
            return own.made_kw * ratio
        return ratio * own.with_gaps_from(generation_kw(job, self.weather(job, seed, number)) / ratio)

    def weather(self, job: Job, seed: int, number: int) -> Weather:
        """The weather of one year."""
        if self.weather_file is not None:
            return _from_file(self.weather_file, seed, number)
        return _weather(region_of(job), seed, number)

    def _grown_ratio(self, job: Job) -> float:
        return peak_of(job) / self.peak_kw if self.peak_kw else 1.0


drawn_sun = Skies()


def source_of(job: Job, seed: int, folder: Path) -> Source:
    """Where the sun of a job comes from. Raises CannotForecast, with all that is wrong, where it cannot be told."""
    refuse(job)
    weather, own = job.site.weather_file, job.generation.own_csv
    skies = Skies(folder / weather if weather else None, folder / own if own else None, peak_of(job))
    said, digests = [], []
    try:
        if skies.own_file is not None:
            found = _own(skies.own_file)
            said += [found.came_from.source, *found.came_from.notes, *_gaps_said(found)]
            digests.append(found.came_from.sha256)
        if skies.own_file is None or _own(skies.own_file).gaps:
            came = skies.weather(job, seed, 0).came_from
            said += [came.source, *came.notes, *([FILE_SPREAD] if weather else [])]
            digests.append(came.sha256)
        skies(job, seed, 0)
    except NoRegion as missing:
        raise CannotForecast(str(missing)) from missing
    except (NotKnown, BadGeneration, BadWeather) as missing:
        raise CannotForecast("\n".join(missing.says)) from missing
    digest = digests[0] if len(digests) == 1 else hashlib.sha256("".join(digests).encode()).hexdigest()
    return Source(skies, "; ".join(said), digest)


def _gaps_said(own: OwnGeneration) -> list[str]:
    if not own.gaps:
        return ["the same readings stand in every year, so that the band has nothing of the weather's spread"]
    listed = ", ".join(f"{each.missing_count} minutes from {each.start:%Y-%m-%d %H:%M}" for each in _longest(own.gaps))
    more = len(own.gaps) - MOST_GAPS_COUNT
    return [f"{sum(each.missing_count for each in own.gaps)} minutes have no reading and were drawn from the weather "
            f"({listed}{f' and {more} shorter gaps' if more > 0 else ''})"]  # fmt: skip


def _longest(gaps: tuple[Gap, ...]) -> list[Gap]:
    return sorted(gaps, key=lambda each: -each.missing_count)[:MOST_GAPS_COUNT]


@lru_cache(maxsize=2)
def _weather(region: int, seed: int, number: int) -> Weather:
    return weather_year(region, seed, number)


@lru_cache(maxsize=2)
def _from_file(file: Path, seed: int, number: int) -> Weather:
    return read_weather(file, seed, number)


@lru_cache(maxsize=1)
def _own(file: Path) -> OwnGeneration:
    return read_generation(file)
