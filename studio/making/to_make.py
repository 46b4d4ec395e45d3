"""What a calendar is asked to find days for."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from studio.making.plate import Plate

__all__ = ["ToMake", "Wait"]


@dataclass(frozen=True, slots=True)
class Wait:
    """Something that is bought once a job begins and comes so many calendar `days` later. A filament is
    needed for `printing` (the plates of that name), anything else for `making`, the labour after printing,
    or for the work on `site`."""

    name: str
    days: int
    needed_for: Literal["printing", "making", "site"]


@dataclass(frozen=True, slots=True)
class ToMake:
    """Plates, minutes of labour before printing, after it and on site, and what has to be bought. Where
    nobody of ours goes there, a carrier has it on the road for so many working days."""

    plates: Sequence[Plate]
    before: float = 0.0
    after: float = 0.0
    site: float = 0.0
    waits: Sequence[Wait] = ()
    road_days: int = 0
