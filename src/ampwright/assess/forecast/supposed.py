"""What nobody asked and the forecast took for granted: every such number and choice is said, with its field."""

from __future__ import annotations

from collections.abc import Iterator

from ampwright.assess.forecast.metered import Metered
from ampwright.assess.forecast.plan import STORE_A, miles_of_trips
from ampwright.assess.forecast.years import Year
from ampwright.facts.tables import constant
from ampwright.job.fields import in_words
from ampwright.job.paths import at
from ampwright.job.record import Job

USUAL = {
    "installation.annual_kwh": ("annual_kwh", "kWh"),
    "vehicles[0].battery_kwh": ("battery_kwh", "kWh"),
    "vehicles[0].miles_per_kwh": ("miles_per_kwh", "miles a kWh"),
    "vehicles[0].miles_per_year": ("miles_per_year", "miles a year"),
    "vehicles[0].fill_percent": ("fill_percent", "%"),
    "vehicles[0].keep_percent": ("keep_percent", "%"),
    "vehicles[0].charging_loss_percent": ("charging_loss_percent", "%"),
    "tariff.day_gbp_per_kwh": ("day_gbp_per_kwh", "£ a kWh"),
    "tariff.export_gbp_per_kwh": ("export_gbp_per_kwh", "£ a kWh"),
    "charge_point.following.start_delay_min": ("start_delay_min", "min"),
    "charge_point.following.stop_delay_min": ("stop_delay_min", "min"),
}
TAKEN = {
    "supply.phases": "one phase",
    "vehicles[0].onboard_a": "as much as the charge point gives",
    "generation.inverter_a": "as large as the panels",
    "generation.export_limit_kw": "no limit is reckoned with",
    "charge_point.following.default_hours": "put aside by the owner, so that it charges at peak hours too",
    "charge_point.following.random_delay": "put aside by the owner",
}
CLOSE_RATIO = 0.02
MOST_GAPS_COUNT = 8


def supposed(job: Job, years: tuple[Year, ...], metering: Metered | None) -> tuple[str, ...]:
    """What was taken for granted, a sentence each: usual values, choices, the car's days, the tariff, the readings."""
    return (*_usual(job, metering), *_taken(job), *_of_the_car(job, years), *_of_the_home(job), *_read(job, metering))


def _usual(job: Job, metering: Metered | None) -> Iterator[str]:
    """Numbers from the table of usual values; none that something else in the job stands in for."""
    stands_in = {"installation.annual_kwh": metering, "vehicles[0].miles_per_year": miles_of_trips(job.vehicles[0])}
    for path, (name, unit) in USUAL.items():
        if at(job, path) is None and stands_in.get(path) is None:
            fact = constant("gb/driving", name)
            taken = f"£{fact.value:.2f} {unit[2:]}" if unit.startswith("£ ") else f"{fact.value:g} {unit}"
            yield f"{in_words(path)}: {taken} taken, nobody asked ({fact.where})"


def _taken(job: Job) -> Iterator[str]:
    """Choices that no number of a table stands for."""
    for path, words in TAKEN.items():
        if at(job, path) is None:
            yield f"{in_words(path)}: nobody asked; {words}"
    point, car, tariff = job.charge_point, job.vehicles[0], job.tariff
    if point.rated_a is None and point.set_a is None:
        yield f"{in_words('charge_point.rated_a')}: nobody asked; 32 A taken"
    if job.supply.phases == 3 and point.phases == 3 and car.onboard_phases is None:
        yield f"{in_words('vehicles[0].onboard_phases')}: nobody asked; one phase taken"
    if tariff.night_from_h is None or tariff.night_to_h is None:
        begins_h, ends_h = tariff.night_from_h or 0.0, 7.0 if tariff.night_to_h is None else tariff.night_to_h
        yield f"cheap hours of the tariff: nobody asked; {_clock(begins_h)} to {_clock(ends_h)} taken"
    if tariff.night_gbp_per_kwh is None:
        yield "price in cheap hours: nobody asked; the price by day is reckoned with at night too"


def _of_the_car(job: Job, years: tuple[Year, ...]) -> Iterator[str]:
    """When it is away, and its miles where the trips and the year say different things."""
    car = job.vehicles[0]
    if not car.trips or not car.plugs_in_on:
        asked = (("when the car is away (trips)", car.trips), ("when it is plugged in (plugs_in_on)", car.plugs_in_on))
        missing = " and ".join(words for words, held in asked if not held)
        cases = sorted({year.plan.pattern.words for year in years})
        yield f"nobody asked {missing}; the years take turns: {'; '.join(cases)}"
    trips_count, year = miles_of_trips(car), car.miles_per_year
    if trips_count is not None and year is not None and not (
            year.low * (1 - CLOSE_RATIO) <= trips_count <= year.high * (1 + CLOSE_RATIO)):  # fmt: skip
        entered = f"{year.low:,.0f}" if year.exact else f"{year.low:,.0f} to {year.high:,.0f}"
        yield (f"the trips add up to {trips_count:,.0f} miles a year, but {entered} are entered for "
               "the year: those of the trips are reckoned")  # fmt: skip
    if len(job.vehicles) > 1:
        yield f"one charge point charges one car: {car.name} is reckoned, the others are not"


def _of_the_home(job: Job) -> Iterator[str]:
    """Load cap, store and what the house's load leaves out."""
    cap, store, home = job.charge_point.load_cap, job.storage, job.installation
    if cap.fitted and cap.limit_a is None:
        yield "the load cap's setting is not known: no cap is reckoned with"
    if job.supply.phases == 3:
        yield ("the surplus is that of the three lines together, wherever on them the house, panels and car are: so it "
               "is billed by a meter that adds the lines up before it counts. One that counts each line by itself "
               "bills the car's line while another sends out; ask the supplier which it is")  # fmt: skip
        if cap.fitted and cap.limit_a is not None:
            yield "the house is taken to load its three lines alike: one that carries more meets the load cap sooner"
    if store.fitted and store.capacity_kwh is None:
        yield "the battery's capacity is not known: no battery is reckoned with"
    elif store.fitted:
        if store.inverter_a is None and (store.coupling != "DC" or job.generation.inverter_a is None):
            yield f"{in_words('storage.inverter_a')}: nobody asked; {STORE_A:g} A taken"
        if store.charges_from_supply:
            yield "the battery takes its charge from the sun alone here; what it takes from the supply is left out"
    for number, array in enumerate(job.generation.arrays if job.generation.own_csv else ()):
        for name in ("peak_kw", "tilt_deg", "azimuth_deg"):
            value = getattr(array, name)
            if value is not None and not value.exact:
                path = f"generation.arrays[{number}].{name}"
                yield (f"{in_words(path)}: {value.low:g} to {value.high:g} is entered; the panels' own readings "
                       "know it, and where they have gaps its middle is taken")  # fmt: skip
    if any(load.purpose == "heat_pump" for load in home.loads or ()) and not home.half_hourly.csv:
        yield "a heat pump follows the cold, the load profile does not: give half-hourly readings"


def _read(job: Job, metering: Metered | None) -> Iterator[str]:
    """What was made of half-hourly readings."""
    if metering is None:
        return
    yield "each half hour of the readings keeps its energy; where in it the load lies is drawn"
    if not metering.zoned:
        yield ("the readings have no zone and show no change of the clock: they are taken as UTC; if they are on the "
               "British clock, the house's summer stands an hour late here")  # fmt: skip
    if metering.filled_count:
        listed = ", ".join(f"{gap.missing_count} from {gap.start:%Y-%m-%d %H:%M}"
                           for gap in metering.gaps[:MOST_GAPS_COUNT])  # fmt: skip
        more = len(metering.gaps) - MOST_GAPS_COUNT
        yield (f"{metering.filled_count} half hours of the year are in no reading and got the mean of their half hour "
               f"(gaps in the file: {listed or 'none, it is short of a year'}{f' and {more} more' if more > 0 else ''})"
               )  # fmt: skip
    if job.generation.fitted:
        yield ("if the panels stood while the meter was read, the readings are what the panels left: the house "
               "load by day, and so the house's own use of the sun, is then too small here")  # fmt: skip


def _clock(at_h: float) -> str:
    minutes = round(at_h * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
