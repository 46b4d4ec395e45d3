"""Centres of mass against polygons laid out one by one."""

import pytest
import shapely
from shapely.affinity import translate

from studio.hanging.centre import hung_modules
from studio.lattice.design import BorderAndField, Infill, TouchUp, WayIn
from studio.lattice.edging import edging_runs
from studio.lattice.infill_parts import size_of
from studio.lattice.section_parts import kinds_of
from studio.lattice.sections import section_of
from tests.hanging.cast import grams, panel
from tests.lattice.cast import LATTICES, OPEN, PATTERN
from tests.lattice.test_cells import polygons

SMALL = WayIn(width_mm=240, length_mm=280)


def lopsided(lattice, **changes):
    """Bands of an infill and of nothing, so that the centre of mass lies off the middle both ways."""
    filled = Infill(pattern=PATTERN[lattice], filament="Tea")
    return panel(
        lattice, 9, 8, arrangement=BorderAndField(border=filled, border_cells=2, field=OPEN),
        touch_ups=tuple(TouchUp(column=c, row=r, infill=filled) for c, r in ((4, 4), (6, 4), (5, 3))),
        **changes,
    )  # fmt: skip


def laid_out(composition, bill, part_g):
    """For each module, pairs of a polygon and its grams; keys are left out."""
    fit, modules = composition.fit, [[] for _ in bill.modules]
    module = {i: m for m, each in enumerate(bill.modules) for i in each.sections}
    own = {(p.code, p.pattern, p.size, p.filament): g for p, g in zip(bill.parts, part_g, strict=True)}
    owner = section_of(fit, bill.sections).tolist()
    sections = [g for p, g in zip(bill.parts, part_g, strict=True) if p.code == "section"]
    section_g = {i: g for kind, g in zip(kinds_of(fit, bill.sections), sections, strict=True) for i in kind}
    strips = {i: [] for i in range(len(bill.sections))}
    for i, cell in enumerate(polygons(fit).values()):
        x, y = float(composition.x[i]), float(composition.y[i])
        opening = composition.openings[int(composition.shape[i]), int(composition.facing[i])]
        strips[owner[i]].append(cell.difference(translate(opening, x, y)))
        if composition.piece[i] >= 0:
            piece = composition.pieces[composition.piece[i]]
            key = "infill", piece.pattern, size_of(piece), composition.filaments[composition.filament[i]]
            modules[module[owner[i]]].append((translate(piece.outline, x, y), own[key]))
    for i, cells in strips.items():
        modules[module[i]].append((shapely.union_all(cells), section_g[i]))
    for at, polygon, g in around(composition, bill, part_g):
        modules[at].append((polygon, g))
    return modules


def around(composition, bill, part_g):
    """Module, polygon and grams of every run of edging and every corner."""
    wide, fit = float(composition.design.edging_width_mm), composition.fit
    width, height = fit.lattice_width_mm, fit.lattice_height_mm
    runs = list(edging_runs(fit, bill.sections, bill.modules))
    rails_g = sum(p.count * g for p, g in zip(bill.parts, part_g, strict=True) if p.code == "rail")
    a_mm = rails_g / sum(run.length_mm for run in runs)
    for run in runs:
        (left, low), (right, high) = run.first, run.last
        if low == high:
            box = (left, low, right, high + wide) if low else (left, -wide, right, 0)
        else:
            box = (left, low, right + wide, high) if left else (-wide, low, 0, high)
        yield run.module, shapely.box(*box), a_mm * run.length_mm
    corner_g = next(g for p, g in zip(bill.parts, part_g, strict=True) if p.code == "corner")
    places = ((-wide, -wide), (-wide, height), (width, -wide), (width, height))
    columns = [bill.sections[m.sections[0]].column for m in bill.modules]
    rows = [bill.sections[m.sections[0]].row for m in bill.modules]
    for x, y in places:
        at = next(
            i for i in range(len(bill.modules))
            if columns[i] == (max(columns) if x > 0 else 0) and rows[i] == (max(rows) if y > 0 else 0)
        )  # fmt: skip
        yield at, shapely.box(x, y, x + wide, y + wide), corner_g


@pytest.mark.parametrize("way_in", [WayIn(), SMALL], ids=["whole", "in modules"])
@pytest.mark.parametrize("lattice", LATTICES)
def test_the_centre_is_that_of_all_polygons(lattice, way_in):
    composition, bill = lopsided(lattice, way_in=way_in)
    assert (len(bill.modules) > 1) == (way_in is SMALL)
    part_g = [0.0 if p.code == "key" else g for p, g in zip(bill.parts, grams(bill), strict=True)]
    found = hung_modules(composition, bill, part_g, 0.0)
    for hung, laid in zip(found, laid_out(composition, bill, part_g), strict=True):
        mass = sum(g for _, g in laid)
        x = sum(g * polygon.centroid.x for polygon, g in laid) / mass
        y = sum(g * polygon.centroid.y for polygon, g in laid) / mass
        assert hung.mass_g == pytest.approx(mass)
        assert (hung.x_mm, hung.y_mm) == pytest.approx((x, y), abs=1e-6)
        assert sum(hung.section_g) == pytest.approx(mass)


@pytest.mark.parametrize("lattice", LATTICES)
def test_nothing_is_lost_between_modules(lattice):
    """Keys and what lies evenly too: 1000 g of backing."""
    composition, bill = lopsided(lattice, way_in=SMALL)
    part_g = grams(bill)
    printed = sum(part.count * g for part, g in zip(bill.parts, part_g, strict=True))
    hung = hung_modules(composition, bill, part_g, 1000.0)
    assert sum(each.mass_g for each in hung) == pytest.approx(printed + 1000)


def test_a_key_lies_on_its_seam_and_a_backing_in_the_middle():
    """Square, 8 by 4 cells of 44 mm on a bed of 5: two sections of 176 mm, one seam at x = 176, y = 88. The
    panel with its 12 mm of edging runs from -12 to 364 and from -12 to 188."""
    composition, bill = panel("square", 8, 4)
    assert [(seam.first, seam.second) for seam in bill.seams] == [(0, 1)]
    only_keys = [float(part.code == "key") for part in bill.parts]
    for part_g, evenly in ((only_keys, 0.0), ([0.0] * len(bill.parts), 500.0)):
        (hung,) = hung_modules(composition, bill, part_g, evenly)
        assert (hung.x_mm, hung.y_mm) == pytest.approx((176, 88))
        assert hung.box == pytest.approx((-12, -12, 364, 188))


def test_a_panel_without_mass_has_its_middle():
    composition, bill = panel("square", 8, 4)
    (hung,) = hung_modules(composition, bill, [0.0] * len(bill.parts), 0.0)
    assert (hung.mass_g, hung.x_mm, hung.y_mm) == (0, 176, 88)
