"""What the studio's own plates say of the plates to come, in words. Pure."""

from collections.abc import Sequence
from dataclasses import replace

from studio.making.equipment import STANDARD
from studio.making.measured import Hazard, Measured, experience_of

__all__ = ["ENOUGH_HOURS", "all_hazard", "enough"]

ENOUGH_HOURS = 100
"""Of printing, failed runs included, before failures counted in them can be a rate: our own judgement, no
source."""


def all_hazard(measured: Sequence[Measured]) -> Hazard | None:
    """Failures per hour over all printers, as if one had run every plate: the rate book has one rate for all.
    None before any plate."""
    together = [replace(plate, printer="all", recipe=STANDARD) for plate in measured]
    return next((each.hazard for each in experience_of(together)), None)


def enough(hazard: Hazard | None) -> bool:
    """With no failure yet the rate would be nothing, which is luck."""
    return hazard is not None and hazard.hours >= ENOUGH_HOURS and hazard.failures > 0
