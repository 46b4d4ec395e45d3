"""How high a panel hangs: its centre before eyes, clear of what stands below."""

from dataclasses import dataclass

from studio.problem import Refused
from studio.voice import Said, length, said

__all__ = ["CENTRE_MM", "CLEARANCE_MM", "SEATED_CENTRE_MM", "VIEWING_MM", "Height", "height_for"]

CENTRE_MM = 1500.0
"""Of a picture's centre: 57 to 60 inches (1448 to 1524 mm) is common practice, no standard."""
VIEWING_MM = (1100.0, 1675.0)
"""Band for what hangs on a wall: Glasgow Museums, Display Guidelines."""
SEATED_CENTRE_MM = 1200.0
"""Where people look from seats: eyes of a sitting adult are about 1200 mm above the floor (from memory)."""
CLEARANCE_MM = 180.0
"""Above furniture: 6 to 8 inches (152 to 203 mm), common practice, no source."""


@dataclass(frozen=True, slots=True)
class Height:
    """Of the panel's lower edge and its middle above the floor; `notes` say why it is not the usual one."""

    bottom_mm: float
    centre_mm: float
    notes: tuple[Said | str, ...]


def height_for(
    panel_mm: float, below_mm: float = 0.0, seated: bool = False, ceiling_mm: float | None = None
) -> Height:
    """Where a panel so high hangs over things that reach `below_mm` above the floor. Raises Refused where the
    ceiling leaves no room for it."""
    centre_mm = SEATED_CENTRE_MM if seated else CENTRE_MM
    least_mm = below_mm + CLEARANCE_MM if below_mm else 0.0
    bottom_mm = max(centre_mm - panel_mm / 2, least_mm)
    if ceiling_mm is not None and bottom_mm + panel_mm > ceiling_mm:
        bottom_mm = ceiling_mm - panel_mm
        if bottom_mm < least_mm:
            told = (
                "a panel of {} finds no room between {} of what stands below with its clearance and {} "
                "of ceiling"
            )
            reason = said(told, length(panel_mm), length(least_mm), length(ceiling_mm))
            raise Refused.because("space.heights_mm", reason, "a lower panel, or nothing below it")
    centre_mm = bottom_mm + panel_mm / 2
    return Height(bottom_mm, centre_mm, tuple(_notes(centre_mm, seated)))


def _notes(centre_mm: float, seated: bool) -> list[Said | str]:
    notes = list[Said | str]()
    low, high = VIEWING_MM
    if not low <= centre_mm <= high:
        told = (
            "its middle comes {} above the floor, outside the {} to {} in which things on walls are looked at"
        )
        notes.append(said(told, length(centre_mm, 0), length(low), length(high)))
    if seated:
        notes.append("its middle is before the eyes of people who sit, where what stands below lets it")
    return notes
