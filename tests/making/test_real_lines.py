"""What making computes for every piece of the demo and of the library, against lines that are really
drawn."""

from decimal import Decimal

import numpy as np
import pytest
import shapely
from shapely.affinity import translate

from studio.lattice.composition import Composition, compose
from studio.lattice.design import AllOver, Design, Infill, Space
from studio.lattice.face import face_of_polygon
from studio.lattice.fit import best_fit
from studio.lattice.patterns import patterns
from studio.lattice.section_parts import section_parts
from studio.lattice.sections import BedLimit, Section, divide, section_of
from studio.making.toolpath import load_of
from tests.making.made import plate_with_holes, recipe, slab, triangle
from tests.making.real_lines import drawn

RECIPE = recipe()
SPACE = Space(widths_mm=(Decimal(1194),), heights_mm=(Decimal(750),))
WITHIN = 0.02
"""Minutes and grams of a piece agree to this."""
LATTICES = [("three-way", 44), ("three-way turned", 44), ("square", 60), ("diamond", 44)]
"""With the demo's cell sides."""


def composed(lattice: str, side: int, pattern: str) -> Composition:
    """The demo's larger wall, all over in one pattern."""
    design = Design(
        lattice=lattice,  # type: ignore[arg-type]
        cell_side_mm=Decimal(side),
        lattice_filament="Walnut",
        edging_filament="Walnut",
        arrangement=AllOver(infill=Infill(pattern=pattern, filament="Tea")),
    )
    return compose(design, best_fit(design, SPACE))


def differences(polygon: shapely.Polygon, depth_mm: float, face: object = None) -> tuple[float, float]:
    """By which shares the model's seconds and plastic differ from those drawn."""
    load = load_of(face or face_of_polygon(polygon), depth_mm, RECIPE)  # type: ignore[arg-type]
    real = drawn(polygon, depth_mm, RECIPE)
    return load.seconds.sum() / real.seconds - 1, load.volume_mm3 / real.volume_mm3 - 1


@pytest.mark.parametrize(("lattice", "side"), LATTICES)
def test_every_infill_of_the_library_agrees_with_its_lines(lattice: str, side: int) -> None:
    outlines = {
        piece.made_as: piece.outline
        for pattern in patterns(lattice)  # type: ignore[arg-type]
        for piece in composed(lattice, side, pattern.slug).pieces
    }
    found = [differences(outline, 6.0) for outline in outlines.values()]
    worst = np.abs(found).max(axis=1)
    # Which line a run begins with is chance where a few far lines cross a small piece.
    assert worst.max() < 2 * WITHIN
    assert (worst > WITHIN).mean() <= 0.03


@pytest.mark.parametrize("polygon", [shapely.box(0, 0, 238, 12), shapely.box(0, 0, 20, 10), triangle(40)])
def test_rails_and_plain_pieces_agree_with_their_lines(polygon: shapely.Polygon) -> None:
    assert np.abs(differences(polygon, 12.0)).max() < WITHIN


def test_a_plate_with_counted_holes_agrees_with_its_lines() -> None:
    whole, counted = plate_with_holes(130, 24, 5)
    assert np.abs(differences(whole, 12.0, counted)).max() < WITHIN


@pytest.mark.parametrize(("lattice", "side"), LATTICES)
def test_sections_agree_with_their_lines(lattice: str, side: int) -> None:
    """Their openings are counted, not placed: the model knows no more than their edges."""
    composition = composed(lattice, side, "open")
    bed = BedLimit(246, 246, 250)
    sections, _, _ = divide(composition.fit, composition.design, [bed], SPACE.way_in, 90)
    part = section_parts(composition, sections)[0]
    polygon = first_section(composition, sections)
    assert polygon.area == pytest.approx(part.face.area_mm2)
    assert np.abs(differences(polygon, 12.0, part.face)).max() < WITHIN


def first_section(composition: Composition, sections: tuple[Section, ...]) -> shapely.Polygon:
    """The section at the panel's lower left corner, with its openings where they lie."""
    outline = shapely.Polygon(section_parts(composition, sections)[0].face.rings[0].points)
    own = section_of(composition.fit, sections) == 0
    kinds = zip(composition.shape[own].tolist(), composition.facing[own].tolist(), strict=True)
    places = zip(kinds, composition.x[own], composition.y[own], strict=True)
    openings = [translate(composition.openings[kind], x, y) for kind, x, y in places]
    return outline.difference(shapely.union_all(openings))


def test_a_slab_wholly_solid_is_drawn_as_heavy_as_it_is() -> None:
    solid = recipe(core_density=1)
    real = drawn(shapely.box(0, 0, 60, 40), 4.0, solid)
    assert real.volume_mm3 == pytest.approx(60 * 40 * 4, rel=1e-3)
    assert load_of(slab(60, 40), 4.0, solid).seconds.sum() == pytest.approx(real.seconds, rel=1e-3)
