"""Which recipe a filament is printed by, and what measured plates change."""

import numpy as np
import pytest

from studio.document import dump, parse
from studio.making.equipment import Filament, OwnRecipe, Printer, Recipe
from studio.making.measured import Factor
from studio.making.plates import plates_for
from studio.making.setup import setup_of
from studio.making.toolpath import load_of
from studio.problem import Refused
from tests.making.made import TEA, part, printer, recipe, slab

TOUGH = Filament(name="Slate", colour="#50555a", material="PETG", density_g_per_cm3=1.27)
SLOW, SLOWEST = recipe(outer_wall_mm_s=40), recipe(outer_wall_mm_s=20)
OWN = printer(recipes=(OwnRecipe(of="PETG", recipe=SLOW), OwnRecipe(of="Chalk", recipe=SLOWEST)))


@pytest.mark.parametrize(
    ("filament", "key", "own"),
    [
        (TEA, "standard", Recipe()),
        (TOUGH, "PETG", SLOW),
        (Filament(name="Chalk", colour="#ffffff", material="PETG"), "Chalk", SLOWEST),
    ],
)
def test_a_filaments_own_recipe_before_its_materials(filament: Filament, key: str, own: Recipe) -> None:
    assert OWN.recipe_for(filament) == (key, own)


def test_rate_books_without_them_still_parse() -> None:
    old = dump(printer())
    for key in ("recipes", "heat_up_w", "start_g", "change_minutes", "purge_g"):
        del old[key]
    for key in ("nozzle_c", "bed_c"):
        del old["recipe"][key]
    assert parse(Printer, old) == printer()
    assert parse(Printer, dump(OWN)) == OWN


def test_plates_follow_the_recipe() -> None:
    its = part(slab(100, 100), 4, filament="Slate")
    (plate,) = plates_for([its], [OWN], [TOUGH])
    seconds = load_of(its.face, 4, SLOW).seconds.sum() * 4
    assert 0 < (plate.minutes - OWN.heat_up_minutes) * 60 - seconds < 4 * 20 * 1.5  # hops from piece to piece


def test_a_bead_too_narrow_in_one_of_them() -> None:
    odd = printer(recipes=(OwnRecipe(of="PETG", recipe=recipe(bead_mm=0.1)),))
    with pytest.raises(Refused) as caught:
        plates_for([part(slab(9, 9), 1)], [odd], [TEA])
    assert caught.value.problems[0].field == "rate_book.printers.Small bed.recipes.PETG.bead_mm"


def test_plate_minutes_by_hand() -> None:
    # 6 minutes to heat up; layers of 30, 2 (at least 8) and none: 38 s. By a factor of 1.5.
    factors = {("Small bed", "standard"): Factor(1.5, 1.1)}
    seconds = np.array([30.0, 2.0, 0.0])
    assert setup_of(printer(), TEA, {}).plate_minutes(seconds) == pytest.approx(6 + 38 / 60)
    assert setup_of(printer(), TEA, factors).plate_minutes(seconds) == pytest.approx(1.5 * (6 + 38 / 60))


def test_factors_change_minutes_and_grams_and_keep_the_limits() -> None:
    its, factors = part(slab(40, 40), 40, depth_mm=20), {("Small bed", "standard"): Factor(1.3, 1.1)}
    plain, slower = plates_for([its], [printer()], [TEA]), plates_for([its], [printer()], [TEA], factors)
    assert sum(p.minutes for p in slower) > 1.25 * sum(p.minutes for p in plain)
    assert sum(p.mass_g for p in slower) == pytest.approx(1.1 * sum(p.mass_g for p in plain), abs=0.1)
    assert max(p.minutes for p in slower) <= printer().longest_run_minutes
    assert plates_for([its], [printer()], [TEA], {("Small bed", "PETG"): Factor(9, 9)}) == plain
