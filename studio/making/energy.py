"""Electrical energy of a plate, from the power in each phase."""

from studio.making.equipment import Printer

__all__ = ["energy_kwh"]


def energy_kwh(printer: Printer, minutes: float) -> float:
    """E = P t: heating up at `heat_up_w`, then printing at `power_w`; `minutes` are those of the plate."""
    heating = min(minutes, printer.heat_up_minutes)
    return (heating * printer.heat_up_w + (minutes - heating) * printer.power_w) / 60_000
