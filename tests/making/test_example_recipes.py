"""Example recipes print what they are for, slower than PLA."""

import pytest

from studio.making.equipment import Filament, Recipe
from studio.making.example_recipes import example_recipes
from studio.making.plates import plates_for
from tests.making.made import TEA, part, printer, slab

PRINTER = printer(recipes=example_recipes())


@pytest.mark.parametrize("material", ["PETG", "ASA", "TPU"])
def test_a_plate_takes_longer_than_in_pla(material: str) -> None:
    own = Filament(name="Slate", colour="#50555a", material=material)
    (slow,) = plates_for([part(slab(60, 60), 4, filament="Slate")], [PRINTER], [own])
    (plain,) = plates_for([part(slab(60, 60), 4)], [PRINTER], [TEA])
    assert slow.minutes > plain.minutes


def test_pla_keeps_the_printers_own() -> None:
    assert PRINTER.recipe_for(TEA) == ("standard", Recipe())
