"""Electrical energy of a plate, from the power in each phase."""

from studio.making.equipment import Printer

__all__ = ["energy_kwh", "heating_kwh"]


def energy_kwh(printer: Printer, minutes: float) -> float:
    """E = P t: heating up at `heat_up_w`, then printing at `power_w`; `minutes` are those of the plate."""
    printing = minutes - _heating_minutes(printer, minutes)
    return heating_kwh(printer, minutes) + printing * printer.power_w / 60_000


def heating_kwh(printer: Printer, minutes: float) -> float:
    """The part of it that goes into heating up."""
    return _heating_minutes(printer, minutes) * printer.heat_up_w / 60_000


def _heating_minutes(printer: Printer, minutes: float) -> float:
    return min(minutes, printer.heat_up_minutes)
