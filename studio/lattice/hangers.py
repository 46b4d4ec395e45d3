"""How many hangers a panel needs, and what each must hold."""

from collections.abc import Sequence

from studio.lattice.modules import Module
from studio.problem import Refused
from studio.voice import load, mass, number, said

__all__ = ["HANGERS_PER_MODULE", "check_hangers", "hanger_load_needed_g", "heaviest_module_g"]

HANGERS_PER_MODULE = 2
"""No wall is flat: of three hangers or more, two may carry everything, so a third one adds nothing."""


def check_hangers(
    hung_mass_g: float, hanger_load_g: float, safety_factor: float, modules: Sequence[Module]
) -> None:
    """Raises Refused when a hanger holds less than it must."""
    needed_g = hanger_load_needed_g(hung_mass_g, safety_factor, modules)
    if needed_g > hanger_load_g:
        reason = "any two hangers must hold the heaviest module {} times over, {} each, and a hanger holds {}"
        raise Refused.because(
            "rate_book.hanger_load_g",
            said(reason, number(safety_factor), load(needed_g), mass(hanger_load_g, 3)),
            said("hangers that hold at least {} each", load(needed_g)),
        )


def hanger_load_needed_g(hung_mass_g: float, safety_factor: float, modules: Sequence[Module]) -> float:
    """What a hanger must hold, since any two may carry all: half of the heaviest module times the safety
    factor."""
    return heaviest_module_g(hung_mass_g, modules) * safety_factor / HANGERS_PER_MODULE


def heaviest_module_g(hung_mass_g: float, modules: Sequence[Module]) -> float:
    """The whole panel's mass is shared by area."""
    areas = [module.width_mm * module.height_mm for module in modules]
    return hung_mass_g * (max(areas) / sum(areas))
