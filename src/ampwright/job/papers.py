"""What the papers ask beside the work itself: the firm, photographs, inspection, grant and notices."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal

Outcome = Literal["good", "not good", "limited", "not applicable"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Firm:
    """What is the same on every job of the firm and is not said of its installer already."""

    qualifications: str | None = None
    grant_number: str | None = None
    vat_number: str | None = None
    insurance: str | None = None
    terms: str | None = None
    complaints: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspection:
    """The outcome of each item that is looked at before and during the tests."""

    intake: Outcome | None = None
    other_supplies: Outcome | None = None
    automatic_disconnection: Outcome | None = None
    basic_protection: Outcome | None = None
    other_measures: Outcome | None = None
    additional_protection: Outcome | None = None
    distribution_equipment: Outcome | None = None
    circuits: Outcome | None = None
    isolation: Outcome | None = None
    current_using_equipment: Outcome | None = None
    notices: Outcome | None = None
    bath_or_shower: Outcome | None = None
    other_special_installations: Outcome | None = None
    generation_and_storage: Outcome | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Photos:
    """The file of each photograph that a paper asks for."""

    cutout: str | None = None
    meter: str | None = None
    board: str | None = None
    wall: str | None = None
    parking: str | None = None
    route: str | None = None
    board_after: str | None = None
    finished: str | None = None
    serial_plate: str | None = None
    electrode: str | None = None
    sensors: str | None = None
    labels: str | None = None
    pavement_channel: str | None = None
    vehicle_keeper: str | None = None
    tenancy: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Grant:
    """What the grant office asks beside the job itself."""

    scheme: Literal["renters and flat owners", "on-street parking", "landlords"] | None = None
    reference: str | None = None
    no_earlier_grant: bool | None = None
    pavement_channel: str | None = None
    landlord: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Notices:
    """What came back on each notice, what was shown to the customer, and what was paid."""

    network_reference: str | None = None
    network_answer: str | None = None
    building_reference: str | None = None
    shown_to_customer: bool | None = None
    paired_by_customer: bool | None = None
    early_start_asked: bool | None = None
    deposit_gbp: float | None = None
    paid: datetime.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What the charge point is and where it came from: as its plate, its papers and the invoice have it."""

    maker: str | None = None
    model: str | None = None
    serial: str | None = None
    firmware: str | None = None
    standards: str | None = None
    register_reference: str | None = None
    power_quality: str | None = None
    statement_of_compliance: bool | None = None
    warranty_years_count: int | None = None
    sockets_count: int | None = None
    supplier: str | None = None
    bought: datetime.date | None = None
