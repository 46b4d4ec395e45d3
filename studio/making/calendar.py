"""Dates from plates, people's hours and a calendar."""

from dataclasses import dataclass
from datetime import date

__all__ = ["Dates"]


@dataclass(frozen=True, slots=True)
class Dates:
    """`working_days` from cleared deposit and approved colours to ready; `starts_on` the first working day on or after
    as_of + deposit days; `printed_on` when the last plate is done; `ready_on` when the panel can leave or is hung."""

    working_days: int
    starts_on: date
    printed_on: date
    ready_on: date
