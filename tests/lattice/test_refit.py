from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.lattice.composition import compose
from studio.lattice.design import BorderAndField, Infill, TouchUp
from studio.lattice.fit import fits
from studio.lattice.infills import infills_of
from studio.lattice.refit import held_to, in_lattice
from tests.lattice.cast import LATTICES, OPEN, STAR, design, lattices, space

BORDERED = BorderAndField(
    border=Infill(pattern="basket-weave", filament="Indigo"), border_cells=1, field=STAR
)


def test_a_turned_lattice_has_the_same_patterns():
    wanted = design(arrangement=BORDERED)
    carried, given_up = in_lattice(wanted, "three-way turned")
    assert (carried.arrangement, carried.lattice, given_up) == (BORDERED, "three-way turned", ())


def test_patterns_that_the_lattice_does_not_have_keep_their_colours():
    wanted = design(arrangement=BORDERED, columns=9, rows=9)
    carried, given_up = in_lattice(wanted, "square")
    assert given_up == ("square hemp leaf and well crib instead of hemp leaf and basket weave",)
    assert [(each.pattern, each.filament) for each in infills_of(carried).values()] == [
        ("well-crib", "Indigo"), ("square-hemp-leaf", "Tea"),
    ]  # fmt: skip
    assert (carried.columns, carried.rows) == (None, None)


def test_open_cells_stay_open_and_single_cells_have_no_place():
    wanted = design(
        arrangement=BorderAndField(border=OPEN, border_cells=1, field=STAR),
        touch_ups=(TouchUp(column=1, row=1, infill=STAR),),
    )
    carried, given_up = in_lattice(wanted, "diamond")
    assert carried.arrangement.border == OPEN
    assert given_up == ("crossed diamond instead of hemp leaf", "without the single cells")
    assert carried.touch_ups == ()


@pytest.mark.parametrize("lattice", LATTICES)
def test_what_is_carried_over_can_be_composed(lattice):
    carried, _given_up = in_lattice(design(arrangement=BORDERED, cell_side_mm=Decimal(60)), lattice)
    assert compose(carried, fits(carried, space(900, 900))[0]).pieces


@given(lattice=lattices, rank=st.integers(0, 8))
def test_a_design_held_to_a_fit_has_that_fit_only(lattice, rank):
    wanted, where = design(lattice), space(900, 700)
    fit = fits(wanted, where)[rank]
    assert fits(held_to(wanted, fit), where) == (fit,)
