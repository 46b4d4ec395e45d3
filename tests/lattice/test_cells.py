import networkx as nx
import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.cell import cell_polygon
from studio.lattice.cells import cell_at, cells_of
from studio.lattice.shapes import SHAPES
from tests.lattice.cast import LATTICES, fit_of, small_fits


def polygons(fit):
    """(column, row) to polygon, between centre lines, in the panel's coordinates."""
    cells = cells_of(fit)
    return {
        (int(c), int(r)): shapely.affinity.translate(
            cell_polygon(fit.lattice, SHAPES[shape], int(facing), fit.cell_side_mm, fit.angle_deg), x, y
        )
        for c, r, x, y, shape, facing in zip(*vars(cells).values(), strict=True)
    }


@settings(max_examples=40)
@given(small_fits)
def test_the_cells_tile_the_panel_without_overlap(fit):
    drawn = list(polygons(fit).values())
    panel = shapely.box(0, 0, fit.lattice_width_mm, fit.lattice_height_mm)
    assert sum(cell.area for cell in drawn) == pytest.approx(panel.area)
    assert shapely.union_all(drawn, grid_size=1e-6).symmetric_difference(panel).area < 1e-3


@given(small_fits)
def test_counts(fit):
    """Closed forms: n(k-1) whole and 2n half cells in a three-way lattice; m*n whole ones in a square one;
    pq + (p-1)(q-1) whole, 2(p-1) + 2(q-1) half and 4 quarter ones in a diamond one."""
    found = dict.fromkeys(("whole", "half", "quarter"), 0)
    for shape in cells_of(fit).shape.tolist():
        found[SHAPES[shape].partition(",")[0]] += 1
    n, k = fit.columns, fit.rows
    assert (
        tuple(found.values())
        == {
            "three-way": (n * (k - 1), 2 * n, 0),
            "three-way turned": (k * (n - 1), 2 * k, 0),
            "square": (n * k, 0, 0),
            "diamond": (n * k + (n - 1) * (k - 1), 2 * (n - 1) + 2 * (k - 1), 4),
        }[fit.lattice]
    )


@given(small_fits)
def test_a_turned_panel_is_the_other_one_seen_in_a_mirror(fit):
    """In the diagonal mirror through the lower left corner columns are rows, and left hands right ones."""
    if fit.lattice != "three-way":
        return
    turned = fit_of("three-way turned", fit.rows, fit.columns, str(fit.cell_side_mm))
    theirs = polygons(turned)
    for (column, row), cell in polygons(fit).items():
        image = shapely.transform(cell, lambda xy: xy[:, ::-1])
        assert theirs[row, column].symmetric_difference(image).area < 1e-6
    other = {"half, left hand": "half, right hand", "half, right hand": "half, left hand"}
    ours = [SHAPES[shape] for shape in cells_of(fit).shape]
    assert sorted(other.get(s, s) for s in ours) == sorted(SHAPES[s] for s in cells_of(turned).shape)


@given(small_fits, st.floats(0, 1), st.floats(0, 1))
def test_the_cell_at_a_point_holds_it(fit, u, v):
    x, y = u * fit.lattice_width_mm, v * fit.lattice_height_mm
    address = cell_at(fit, x, y)
    assert polygons(fit)[address].distance(shapely.Point(x, y)) < 1e-6


@given(small_fits)
def test_every_cell_is_found_at_its_centroid(fit):
    for address, cell in polygons(fit).items():
        assert cell_at(fit, cell.centroid.x, cell.centroid.y) == address


@pytest.mark.parametrize("lattice", LATTICES)
def test_the_lattice_s_own_edge_belongs_to_it(lattice):
    fit = fit_of(lattice, 4, 4)
    wide, high = fit.lattice_width_mm, fit.lattice_height_mm
    for x in (0, 0.4 * wide, wide):
        for y in (0, 0.4 * high, high):
            assert polygons(fit)[cell_at(fit, x, y)].distance(shapely.Point(x, y)) < 1e-6


def test_outside_the_lattice_there_is_no_cell():
    fit = fit_of("three-way", 4, 4)
    for x, y in [(-1, 5), (5, -1), (fit.lattice_width_mm + 1, 5), (5, fit.lattice_height_mm + 1)]:
        assert cell_at(fit, x, y) is None


@pytest.mark.parametrize(
    "fit", [fit_of("diamond", 2, 3), fit_of("square", 3, 2), fit_of("three-way turned", 5, 4)]
)
def test_the_cells_have_the_symmetry_that_the_fit_says(fit):
    """As shapes, mirrored in the middle lines of the panel."""
    drawn = [shapely.set_precision(cell, 1e-6) for cell in polygons(fit).values()]
    w, h = fit.lattice_width_mm, fit.lattice_height_mm

    def same(fx, fy):
        image = [
            shapely.transform(c, lambda xy: np.column_stack((fx(xy[:, 0]), fy(xy[:, 1])))) for c in drawn
        ]
        centres = {tuple(np.round(c.centroid.coords[0], 4) + 0.0) for c in drawn}
        return {tuple(np.round(c.centroid.coords[0], 4) + 0.0) for c in image} == centres

    assert same(lambda x: w - x, lambda y: y) == (fit.symmetry in ("both", "left-right"))
    assert same(lambda x: x, lambda y: h - y) == (fit.symmetry in ("both", "top-bottom"))
    assert same(lambda x: w - x, lambda y: h - y) == (fit.symmetry in ("both", "half-turn"))


@pytest.mark.parametrize(("columns", "rows"), [(4, 6), (4, 5), (5, 6), (5, 5)])
def test_symmetry_holds_for_the_cells(columns, rows):
    fit = fit_of("three-way", columns, rows)
    cells = cells_of(fit)
    upright_left = {(c, r): f % 2 == 0 for c, r, f in zip(cells.column, cells.row, cells.facing, strict=True)}
    mirrored = all(left != upright_left[columns - 1 - c, r] for (c, r), left in upright_left.items())
    turned_over = all(left == upright_left[c, rows - r] for (c, r), left in upright_left.items())
    half_turn = all(left != upright_left[columns - 1 - c, rows - r] for (c, r), left in upright_left.items())
    assert mirrored == (fit.symmetry in ("both", "left-right"))
    assert turned_over == (fit.symmetry in ("both", "top-bottom"))
    assert half_turn == (fit.symmetry in ("both", "half-turn"))


def crossings(fit):
    """Vertices and edges of the plane graph that the cells' sides make, without the points where the panel
    cuts a strip in two at an outer edge counted twice."""
    corners = [
        [tuple(np.round(p, 4) + 0.0) for p in cell.exterior.coords[:-1]] for cell in polygons(fit).values()
    ]
    graph = nx.Graph()
    for ring in corners:
        nx.add_cycle(graph, ring)
    return graph


@settings(max_examples=40)
@given(small_fits)
def test_eulers_formula(fit):
    """V - E + F = 1 over the bounded faces of a connected plane graph (Euler's formula)."""
    graph = crossings(fit)
    assert nx.is_connected(graph)
    assert len(graph) - graph.number_of_edges() + len(cells_of(fit).x) == 1


def test_a_square_grid_has_the_vertices_and_sides_of_the_grid_graph():
    """3 x 5 cells: V 24, E 38, F 15: (m+1)(n+1), 2mn + m + n, mn; and networkx grid_2d_graph(4, 6)."""
    graph = crossings(fit_of("square", 3, 5))
    assert (len(graph), graph.number_of_edges(), 3 * 5) == (24, 38, 15)
    assert nx.is_isomorphic(graph, nx.grid_2d_graph(4, 6))


@pytest.mark.parametrize(("p", "q"), [(1, 1), (2, 3), (4, 2)])
def test_a_diamond_lattice_has_the_crossings_of_a_grid_laid_aslant(p, q):
    """Strips cross where column + row is odd, at p(q + 1) + (p + 1)q places; with the panel's four corners
    those are the vertices, and Euler's formula gives the edges. Within the panel four strips meet."""
    fit = fit_of("diamond", p, q)
    graph, cells = crossings(fit), len(cells_of(fit).x)
    inner = [
        n
        for n in graph
        if 0.01 < n[0] < fit.lattice_width_mm - 0.01 and 0.01 < n[1] < fit.lattice_height_mm - 0.01
    ]
    assert len(graph) == p * (q + 1) + (p + 1) * q + 4
    assert graph.number_of_edges() == len(graph) + cells - 1
    assert all(graph.degree(n) == 4 for n in inner)


def test_the_whole_cells_are_those_of_the_triangular_lattice_graph():
    """networkx triangular_lattice_graph(m, n) has m rows of n triangles turned upright and upside down; lying
    on its side it is our columns of whole cells: m = 4, n = 6 gives V 20, E 43, F 24 (Euler: F = E - V +
    1)."""
    graph = nx.triangular_lattice_graph(4, 6)
    assert (len(graph), graph.number_of_edges()) == (20, 43)
    assert graph.number_of_edges() - len(graph) + 1 == 24
    fit = fit_of("three-way", 4, 7)
    whole = cells_of(fit).shape == 0
    ours = nx.Graph()
    for cell in np.array(list(polygons(fit).values()))[whole]:
        nx.add_cycle(ours, [tuple(np.round(p, 4) + 0.0) for p in cell.exterior.coords[:-1]])
    assert whole.sum() == 24
    assert nx.is_isomorphic(ours, graph)


def test_a_triangle_of_cells_has_n_squared_faces():
    """A triangle cut into n*n, n = 6: V 28, E 63, F 36: (n+1)(n+2)/2, 3n(n+1)/2, n*n. Built from our own
    cells: those of a large panel that lie in a triangle of six sides."""
    fit = fit_of("three-way", 6, 12, "20")
    big = shapely.Polygon([(0, 0), (fit.lattice_width_mm, 60), (0, 120)]).buffer(0.01)
    graph, faces = nx.Graph(), 0
    for cell in polygons(fit).values():
        if big.contains(cell):
            faces += 1
            nx.add_cycle(graph, [tuple(np.round(p, 4) + 0.0) for p in cell.exterior.coords[:-1]])
    assert faces == 36
    assert (len(graph), graph.number_of_edges()) == (28, 63)


def test_arrays_are_read_only_and_in_order():
    cells = cells_of(fit_of("three-way", 3, 4))
    assert list(zip(cells.column, cells.row, strict=True)) == [(c, r) for c in range(3) for r in range(5)]
    with pytest.raises(ValueError, match="read-only"):
        cells.x[0] = 1
