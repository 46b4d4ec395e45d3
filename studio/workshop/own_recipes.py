"""Recipes that a printer has for one filament or material, besides its standard one."""

from collections.abc import Iterator
from typing import Any

from studio.document import dump
from studio.forms import Form, flat
from studio.making.equipment import STANDARD, Recipe
from studio.making.example_recipes import example_recipes
from studio.pricing.rate_book import RateBook
from studio.problem import Problem

__all__ = ["EXAMPLES", "add_recipe", "recipe_problems"]

EXAMPLES = {each.of: each.recipe for each in example_recipes()}


def add_recipe(form: Form, place: str) -> Form:
    """One recipe more for the printer at `place`: "printers.0.recipes" is like its standard one,
    "printers.0.recipes.PETG" is an example. The form as it is where no printer is there."""
    typed, (_kind, index, *inside) = form.document(), place.split(".", 3)
    printers = typed.get("printers")
    if inside[:1] != ["recipes"] or not isinstance(printers, list) or index not in _places(printers):
        return form
    printer = printers[int(index)]
    if isinstance(printer, dict) and isinstance(rows := printer.setdefault("recipes", []), list):
        rows.append(_new(printer, inside[-1]))
    return Form(flat(typed))


def _places(rows: list[Any]) -> list[str]:
    return [str(index) for index in range(len(rows))]


def recipe_problems(book: RateBook) -> Iterator[Problem]:
    """Two recipes for the same, of which one would never be used."""
    for index, printer in enumerate(book.printers):
        names = [STANDARD, *(own.of for own in printer.recipes)]
        for place, name in enumerate(names[1:]):
            if name in names[: place + 1]:
                reason = f"{printer.name} has a recipe for {name} already"
                yield Problem(f"printers.{index}.recipes.{place}.of", reason, "keep one, or rename the other")


def _new(printer: dict[str, Any], example: str) -> dict[str, Any]:
    if example in EXAMPLES:
        return {"of": example, "recipe": dump(EXAMPLES[example])}
    return {"of": "", "recipe": printer.get("recipe") or dump(Recipe())}
