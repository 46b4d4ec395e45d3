"""How long drawings take and how large they are: 3,000 cells and 30,000, with pieces made before and not."""

import gzip
import sys
from collections.abc import Callable
from decimal import Decimal
from time import perf_counter

import pytest
from shapely import MultiLineString, Polygon, union_all
from shapely.affinity import translate

from studio.drawing.elevation import elevation_svg
from studio.drawing.paths import tile_paths
from studio.lattice.bill import bill_of
from studio.lattice.cell import cell_corners
from studio.lattice.composition import SHAPES, Composition, compose
from studio.lattice.design import BorderAndField, Design, Infill, Space
from studio.lattice.fit import Fit, best_fit
from studio.lattice.sections import BedLimit

COLOURS = {"Tea": "#b08d57", "Indigo": "#234a6b", "Walnut": "#5b4332"}
SPACE = Space(widths_mm=(Decimal(20_000),), heights_mm=(Decimal(20_000),))
BEDS = (BedLimit(250, 250, 250),)
SIZES = {"3000-cells": (54, 55), "30000-cells": (171, 174)}


def design(columns: int, rows: int) -> Design:
    return Design(
        columns=columns,
        rows=rows,
        lattice_filament="Walnut",
        edging_filament="Walnut",
        arrangement=BorderAndField(
            border=Infill(pattern="basket-weave", filament="Indigo"),
            border_cells=2,
            field=Infill(pattern="hemp-leaf", filament="Tea"),
        ),
    )


def forget() -> None:
    """Empty every cache of the program, as in a new process."""
    for name, module in list(sys.modules.items()):
        if name.startswith("studio."):
            for part in list(vars(module).values()):
                if hasattr(part, "cache_clear"):
                    part.cache_clear()


def line(wanted: Design, fit: Fit) -> str:
    """Arrangement, bill and drawing."""
    made = compose(wanted, fit)
    bill_of(made, BEDS, SPACE.way_in, 120, 3)
    return draw(made)


def draw(made: Composition) -> str:
    return elevation_svg(made, COLOURS, title="Option A", ident="a")


def fitted(size: str) -> tuple[Design, Fit]:
    wanted = design(*SIZES[size])
    return wanted, best_fit(wanted, SPACE)


@pytest.mark.parametrize("size", SIZES)
def test_warm(benchmark, size):
    wanted, fit = fitted(size)
    benchmark.pedantic(line, (wanted, fit), rounds=30, warmup_rounds=2)


@pytest.mark.parametrize("size", SIZES)
def test_cold(benchmark, size):
    wanted, fit = fitted(size)
    benchmark.pedantic(line, (wanted, fit), rounds=10, setup=forget, warmup_rounds=1)


@pytest.mark.parametrize("size", SIZES)
def test_drawing_alone(benchmark, size):
    made = compose(*fitted(size))
    text = benchmark.pedantic(draw, (made,), rounds=30, warmup_rounds=2)
    packed = len(gzip.compress(text.encode(), 6))
    benchmark.extra_info |= {"cells": len(made.x), "svg": len(text), "gzip": packed}
    assert packed <= 35_000 * max(1, len(made.x) / 3024)


def test_geometry_against_every_cell_on_its_own(benchmark):
    """The same run: each piece's strokes given width, joined and clipped with shapely, cell by cell, against
    where each piece lies and its path data, with the pieces known."""
    wanted, fit = fitted("3000-cells")
    quick = benchmark.pedantic(compose, (wanted, fit), rounds=30, warmup_rounds=2)
    slow = min(seconds(lambda: every_cell(quick)) for _ in range(2))
    fast = min(seconds(lambda: compose(wanted, fit)) for _ in range(30))
    paths = min(seconds(lambda: list(tile_paths(compose(wanted, fit)))) for _ in range(30))
    benchmark.extra_info |= {"every cell": slow, "ratio": slow / fast, "ratio with paths": slow / paths}
    assert slow >= 100 * fast


def every_cell(made: Composition) -> list[Polygon]:
    """A hemp leaf in every cell, from its strokes."""
    side, found = made.fit.cell_side_mm, []
    for shape, facing, x, y in zip(made.shape, made.facing, made.x, made.y, strict=True):
        cell = Polygon(cell_corners(made.fit.lattice, SHAPES[shape], int(facing), side))
        middle = cell.centroid.coords[0]
        lines = MultiLineString([(middle, corner) for corner in cell.exterior.coords[:-1]])
        bars = union_all([bar.buffer(1, cap_style="flat") for bar in lines.geoms])
        found.append(translate(bars & cell.buffer(-1.75, join_style="mitre"), x, y))
    return found


def seconds(work: Callable[[], object]) -> float:
    start = perf_counter()
    work()
    return perf_counter() - start
