import numpy as np
import pytest

from studio.drawing.regions import cell_polygons, joined
from tests.drawing.panels import panel


@pytest.mark.parametrize("side", [44.0, 30.05, 37.5])
@pytest.mark.parametrize("lattice", ["three-way", "square"])
def test_all_cells_make_up_the_lattice(lattice: str, side: float) -> None:
    composed = panel(lattice, 7, 9, side)  # type: ignore[arg-type]
    (whole,) = joined(cell_polygons(composed))
    fit = composed.fit
    assert not whole.interiors
    # corners lie on tenths of a millimetre
    assert whole.area == pytest.approx(fit.lattice_width_mm * fit.lattice_height_mm, rel=1e-3)


def test_cells_apart_stay_apart() -> None:
    composed = panel("square", 5, 1, 50)
    parts = joined(cell_polygons(composed)[np.array([True, True, False, True, True])])
    assert [part.area for part in parts] == [5000, 5000]
