from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.lattice.composition import compose
from studio.lattice.design import (
    AllOver,
    Alternating,
    Arrangement,
    Band,
    Bands,
    BorderAndField,
    Drift,
    Infill,
    Rings,
    Rosettes,
    TouchUp,
)
from tests.lattice.cast import OPEN, PATTERN, STAR, fit_of, lattices, sized
from tests.lattice.laid import laid

BAND = (Band(infill=STAR, cells=1), Band(infill=OPEN, cells=2))
ARRANGEMENTS = (
    AllOver(infill=STAR),
    Bands(bands=BAND),
    Bands(direction="level", bands=BAND),
    BorderAndField(border=STAR, field=OPEN),
    Rings(rings=BAND),
    Drift(first=STAR, second=OPEN),
    Rosettes(rosette=STAR, field=OPEN),
    Alternating(first=STAR, second=OPEN),
)
fits = st.builds(fit_of, lattices, st.integers(6, 10), st.integers(6, 10))


def test_every_kind_of_arrangement_is_among_them():
    assert {type(arrangement) for arrangement in ARRANGEMENTS} == set(get_args(get_args(Arrangement)[0]))


def test_all_over():
    found = laid(AllOver(infill=STAR), fit_of("square", 2, 2))
    assert found.infills == (STAR,)
    assert found.fields == ("design.arrangement.infill",)
    assert found.infill.tolist() == [0, 0, 0, 0]


@given(fits, st.sampled_from(ARRANGEMENTS))
def test_every_cell_has_one_infill_and_every_infill_cells(fit, arrangement):
    """Three-way n(k + 1), square mn, diamond pq + (p + 1)(q + 1) cells."""
    found, m, n = laid(arrangement, fit), fit.columns, fit.rows
    cells = {
        "three-way": m * (n + 1),
        "three-way turned": (m + 1) * n,
        "square": m * n,
        "diamond": m * n + (m + 1) * (n + 1),
    }
    assert found.infill.shape == (cells[fit.lattice],)
    assert set(found.infill.tolist()) == set(range(len(found.infills)))
    assert len(found.infills) == len(found.fields)


@given(fits, st.sampled_from(ARRANGEMENTS))
def test_the_same_design_has_the_same_cells(fit, arrangement):
    once, again = laid(arrangement, fit), laid(arrangement, fit)
    assert (once.infill == again.infill).all()
    assert not once.infill.flags.writeable


@given(lattices)
def test_each_infill_names_its_field(lattice):
    touch_ups = (TouchUp(column=0, row=0, infill=STAR),)
    found = laid(Bands(bands=BAND), fit_of(lattice, 3, 3), touch_ups=touch_ups)
    assert found.infills == (STAR, OPEN, STAR)
    assert found.fields == (
        "design.arrangement.bands.0.infill",
        "design.arrangement.bands.1.infill",
        "design.touch_ups.0.infill",
    )


@pytest.mark.parametrize("lattice", PATTERN)
@pytest.mark.parametrize("arrangement", ARRANGEMENTS[1:], ids=lambda arrangement: arrangement.kind)
def test_a_panel_is_composed_of_each(lattice, arrangement):
    """Cells of the first infill have pieces, those of the second stay open."""
    first = Infill(pattern=PATTERN[lattice], filament="Tea")
    fields = {name: first if value == STAR else value for name, value in vars(arrangement).items()}
    for name in fields.keys() & {"bands", "rings"}:
        fields[name] = (Band(infill=first, cells=1), Band(infill=OPEN, cells=2))
    wanted, fit = sized(lattice, 8, 8, arrangement=type(arrangement)(**fields))
    composition, found = compose(wanted, fit), laid(wanted.arrangement, fit).infill
    assert ((composition.piece >= 0) == (found == 0)).all()
    assert composition.filaments == ("Tea",)
