"""How many hangers a panel needs, and what each must hold."""

from collections.abc import Sequence

from studio.lattice.modules import Module
from studio.problem import Refused

__all__ = ["HANGERS_PER_MODULE", "hanger_load_needed_g", "hangers_for"]

HANGERS_PER_MODULE = 2


def hangers_for(
    panel_mass_g: float, hanger_load_g: float, safety_factor: float, modules: Sequence[Module]
) -> int:
    """Hangers of the whole panel: two per module.

    No wall is flat: of three hangers or more, two may carry everything, so any two must hold the module's
    mass times the safety factor, and a third one adds nothing. Raises Refused when a hanger holds less.
    """
    needed_g = hanger_load_needed_g(panel_mass_g, safety_factor, modules)
    if needed_g > hanger_load_g:
        needed = f"{needed_g / 1000:.1f} kg each"
        raise Refused.because(
            "rate_book.hanger_load_g",
            f"any two hangers must hold the heaviest module {safety_factor:g} times over, {needed}, "
            f"and a hanger holds {hanger_load_g / 1000:g} kg",
            f"hangers that hold at least {needed}",
        )
    return HANGERS_PER_MODULE * len(modules)


def hanger_load_needed_g(panel_mass_g: float, safety_factor: float, modules: Sequence[Module]) -> float:
    """What a hanger must hold: half of the heaviest module (mass shared by area) times the safety factor."""
    areas = [module.width_mm * module.height_mm for module in modules]
    return panel_mass_g * max(areas) / sum(areas) * safety_factor / HANGERS_PER_MODULE
