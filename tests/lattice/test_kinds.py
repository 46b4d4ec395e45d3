"""Every kind of lattice, a made-up one among them, has all its parts, and they agree with each other."""

from dataclasses import MISSING, fields, replace
from math import hypot

import numpy as np
import pytest
from shapely import Polygon

from studio.lattice.cells import cell_at, cells_of, has_cell, off_crossing
from studio.lattice.composition import compose
from studio.lattice.design import AllOver, Infill
from studio.lattice.fit import best_fit
from studio.lattice.kinds import KINDS, Kind
from studio.lattice.patterns import pattern, usual_patterns
from studio.lattice.shapes import SHAPES, form_of
from tests.lattice.cast import design, space
from tests.lattice.domino import DOMINO

ALL = [*KINDS.values(), DOMINO]


@pytest.fixture(params=ALL, ids=lambda kind: kind.name)
def kind(request, monkeypatch) -> Kind:
    monkeypatch.setitem(KINDS, request.param.name, request.param)
    return request.param


def fit_in(kind, columns=6, rows=5, **changes):
    arrangement = AllOver(infill=Infill(pattern=kind.usual[0], filament="Tea"))
    wanted = replace(
        design(), lattice=kind.name, arrangement=arrangement, columns=columns, rows=rows, **changes
    )
    return wanted, best_fit(wanted, space(3000, 3000))


@pytest.mark.parametrize("part", [field.name for field in fields(Kind)])
def test_no_kind_without_each_of_its_parts(part) -> None:
    """None has a default, so that the type checker asks for it too."""
    assert all(field.default is field.default_factory is MISSING for field in fields(Kind))
    parts = {field.name: getattr(DOMINO, field.name) for field in fields(Kind) if field.name != part}
    with pytest.raises(TypeError, match=part):
        type(DOMINO)(**parts)


@pytest.mark.parametrize("method", sorted(Kind.__abstractmethods__))
def test_no_kind_without_each_of_its_rules(method) -> None:
    parts = {field.name: getattr(DOMINO, field.name) for field in fields(Kind)}
    lacking = type("Lacking", (type(DOMINO),), {method: getattr(Kind, method)})
    with pytest.raises(TypeError, match=method):
        lacking(**parts)


def test_a_kind_cannot_be_changed(kind) -> None:
    assert {kind: 1}[kind] == 1
    with pytest.raises(AttributeError):
        kind.name = "another"


def test_a_family_is_a_kind_and_its_patterns_are_its_own(kind) -> None:
    assert KINDS[kind.family].patterns is kind.patterns
    assert KINDS[kind.family].turned is False
    assert {each.lattice for each in kind.patterns} == {kind.family}
    assert usual_patterns(kind.name) == kind.usual
    assert all(pattern(slug, kind.name) in kind.patterns for slug in kind.usual)


def test_cells_are_those_of_its_shapes_and_fill_the_panel(kind) -> None:
    _, fit = fit_in(kind)
    cells = cells_of(fit)
    found = {(SHAPES[shape], facing) for shape, facing in zip(cells.shape, cells.facing, strict=True)}
    assert found == set(kind.shapes)
    area = sum(
        Polygon(kind.corners(SHAPES[shape], facing, fit.cell_side_mm, fit.angle_deg)).area
        for shape, facing in zip(cells.shape, cells.facing, strict=True)
    )
    assert area == pytest.approx(fit.lattice_width_mm * fit.lattice_height_mm)
    assert all(has_cell(fit, *place) for place in zip(cells.column, cells.row, strict=True))


def test_every_cell_is_found_at_a_point_within_it(kind) -> None:
    _, fit = fit_in(kind)
    cells = cells_of(fit)
    places = list(zip(cells.column.tolist(), cells.row.tolist(), strict=True))
    outline = {
        place: Polygon(np.add(kind.corners(SHAPES[shape], facing, fit.cell_side_mm, fit.angle_deg), (x, y)))
        for place, shape, facing, x, y in zip(
            places, cells.shape, cells.facing, cells.x, cells.y, strict=True
        )
    }
    for place, own in outline.items():
        inside = own.representative_point()
        assert cell_at(fit, inside.x, inside.y) == place


def test_an_opening_lies_everywhere_as_far_inside_its_cell(kind) -> None:
    inset_mm = 1.75
    for shape, facing in kind.shapes:
        corners = kind.corners(shape, facing, 44.0, 60.0)
        radius = kind.inradius(form_of(shape), 60.0) * 44.0
        opening = kind.inset(corners, inset_mm, radius)
        sides = zip(opening, opening[1:] + opening[:1], corners, corners[1:] + corners[:1], strict=True)
        for a, b, c, d in sides:
            across = np.subtract(d, c) / hypot(*np.subtract(d, c))
            for point in (a, b):
                off = np.subtract(point, c)
                assert across[0] * off[1] - across[1] * off[0] == pytest.approx(inset_mm)
        assert Polygon(corners).buffer(-radius * 0.98).area > 0
        assert Polygon(corners).buffer(-radius * 1.02).is_empty


def test_strips_cross_where_it_says(kind) -> None:
    """A crossing lies on a strip of every family, and the cells round it touch it."""
    _, fit = fit_in(kind)
    for across in range(fit.across.steps + 1):
        for up in range(fit.up.steps + 1):
            on = all((p * across + q * up + r) % 1 == 0 for p, q, r in kind.strips)
            assert on == (off_crossing(fit, across + up) == 0)


def test_the_cells_round_a_crossing_meet_in_it(kind) -> None:
    _, fit = fit_in(kind)
    middle = next(
        (across, up)
        for across in range(2, fit.across.steps)
        for up in range(2, fit.up.steps)
        if off_crossing(fit, across + up) == 0
    )
    point = middle[0] * fit.across.step_mm, middle[1] * fit.up.step_mm
    cells = cells_of(fit)
    round_it = set()
    for column, row, x, y, shape, facing in zip(*vars(cells).values(), strict=True):
        corners = kind.corners(SHAPES[shape], facing, fit.cell_side_mm, fit.angle_deg)
        if min(hypot(x + px - point[0], y + py - point[1]) for px, py in corners) < 1e-6:
            round_it.add((int(column) - middle[0], int(row) - middle[1]))
    assert round_it == set(kind.round_crossing)


def test_a_panel_of_it_has_a_piece_in_every_cell(kind) -> None:
    composed = compose(*fit_in(kind))
    assert (composed.piece >= 0).all()
    assert {form_of(piece.shape) for piece in composed.pieces} == set(kind.forms)


@pytest.mark.parametrize(
    ("lattice", "said"),
    [("three-way", "3 columns × 4 half sides"), ("square", "3 columns × 4 rows"), ("diamond", "3 × 4 boxes")],
)
def test_what_is_counted_alike_is_named_once(lattice, said):
    assert KINDS[lattice].counted(3, 4) == said
