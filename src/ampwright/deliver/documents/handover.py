"""The customer's handover: what was fitted, how to isolate it, what it may bring, what not to add without asking."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ampwright.assess.forecast.account import WAYS
from ampwright.assess.forecast.bands import yearly
from ampwright.assess.forecast.forecast import Forecast
from ampwright.assess.paperwork.boxes import SECTIONS
from ampwright.deliver.documents.blocks import Block, Boxes, Caution, Heading, Listing, Note, Paper, Table, Text
from ampwright.deliver.documents.form import part_of
from ampwright.deliver.documents.pack import Pack
from ampwright.deliver.documents.who import about, board_words
from ampwright.deliver.forecast_screen import BAND_NOTE, MEANING, NO_PROMISE, short_words
from ampwright.job.record import Job

FORM = "15"
SAYS = "For the customer: keep it with the papers of the house."
HEADS = ("Way of charging", "From your own sun, % of the car's energy", "Miles a year from sun",
         "Miles to charge elsewhere", "Cost of grid energy, £ a year")  # fmt: skip
FIGURES = ("own_share_percent", "sun_miles", "unmet_miles", "cost_gbp")
ALSO = (
    "A second charge point, an electric shower, a heat pump, a hot tub, an electric boiler, a larger cooker or a "
    "sauna: each adds to what the supply must carry.",
    "Solar panels, a battery or a car that feeds back: each is a second supply, and the network operator is told or "
    "asked.",
    "A split, a longer cable or another socket on the charge point's circuit: it feeds the charge point alone.",
)  # fmt: skip
CAP = ("A change of the load cap, of its sensor or of its lead: it keeps house and car within the main fuse. It is not "
       "yours to alter, and without it the charge point must stay off.")  # fmt: skip
BUTTON = ("Press the test button of the residual current device as often as its maker says. If it does not switch off, "
          "use the charge point no more and call an electrician.")  # fmt: skip
DAMAGE = ("Do not use the charge point if it, its cable or the plug is damaged, wet inside, hot or smells. Switch it "
          "off as said here if that is safe, keep others away, and call your installer.")  # fmt: skip


def handover(pack: Pack) -> Paper:
    """What the customer is left with."""
    job = pack.job
    blocks: list[Block] = [
        about(pack), Heading("What was fitted"), _boxes(pack, "cp", "ci", "su", "md", "ct"),
        Heading("What is left with you"), _boxes(pack, "jo", "ha", "mo"),
        Heading("How to switch it off"), Listing(tuple(_isolate(job)), numbered=True), Caution(DAMAGE), Text(BUTTON),
    ]  # fmt: skip
    asking = (*ALSO, CAP) if job.charge_point.load_cap.fitted else ALSO
    blocks += [Heading("What not to add or change without asking"), Listing(asking)]
    blocks += [Heading("What the sun may bring"), *_forecast(pack)]
    return Paper("handover", "Handover to the customer", SAYS, tuple(blocks))


def _boxes(pack: Pack, *sections: str) -> Boxes:
    """What is not there yet, as the number that the scheme sends after the work, says who owes it and holds nothing."""
    rows = part_of(pack.boxes, FORM, *(SECTIONS[each] for each in sections))
    return Boxes(tuple(replace(each, compulsory=False) for each in rows))


def _isolate(job: Job) -> Iterator[str]:
    yield "End the charge at the car, and take the plug out."
    if job.circuit.local_isolator:
        yield "Turn the isolator beside the charge point off."
    yield f"Switch the device marked for the charge point off, at {board_words(job)}."
    if job.generation.fitted or job.storage.fitted:
        yield ("Solar panels and a battery are supplies of their own: the main switch does not make them dead. Their "
               "own switches are marked.")  # fmt: skip
    yield "Nobody but an electrician opens the charge point or the board."


def _forecast(pack: Pack) -> Iterator[Block]:
    made = pack.forecast
    if isinstance(made, Forecast):
        yield Table(HEADS, tuple(_way(made, way) for way in WAYS), (2, 2, 2, 2, 2), (1, 2, 3, 4))
        yield Text(f"{len(made.years)} invented years. {BAND_NOTE}")
        yield Listing(tuple(f"{way}: {MEANING[way]}." for way in WAYS))
        if made.supposed:
            yield Text("What was supposed:")
            yield Listing(made.supposed)
        yield Note(NO_PROMISE)
    elif not pack.job.generation.fitted:
        yield Text("No panels are recorded here, so no share of the driving is reckoned from them.")
    else:
        yield Text("No figure is given: the record does not have all that it would be reckoned from.")


def _way(made: Forecast, way: str) -> tuple[str, ...]:
    found = yearly(made.years, way)
    return way, *(short_words(found[name], wide=True) for name in FIGURES)
