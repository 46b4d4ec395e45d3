"""Faces, parts and printers made by hand, for the tests of making."""

from math import cos, pi, radians, sin, sqrt

import numpy as np
import shapely
from shapely import Polygon

from studio.lattice.face import Face, Ring
from studio.lattice.part import Part
from studio.making.equipment import Filament, Printer, Recipe

TEA = Filament(name="Tea", colour="#b98a5a")
INDIGO = Filament(name="Indigo", colour="#2f3f78")


def face(polygon: Polygon) -> Face:
    """A face whose rings are those of a polygon, each given once."""
    shell = Ring(shapely.get_coordinates(polygon.exterior)[:-1], hole=False)
    holes = tuple(Ring(shapely.get_coordinates(ring)[:-1], hole=True) for ring in polygon.interiors)
    left, low, right, high = polygon.bounds
    return Face((shell, *holes), polygon.area, right - left, high - low, polygon.wkt)


def plate_with_holes(side_mm: float, hole_mm: float, across: int) -> tuple[Polygon, Face]:
    """A square plate with `across` by `across` square holes on a regular grid, all strips equally wide: as
    one polygon, and as a face whose holes are counted."""
    strip = (side_mm - across * hole_mm) / (across + 1)
    corners = [strip + i * (hole_mm + strip) for i in range(across)]
    holes = [shapely.box(x, y, x + hole_mm, y + hole_mm) for x in corners for y in corners]
    whole = shapely.box(0, 0, side_mm, side_mm).difference(shapely.union_all(holes))
    shell = Ring(square(side_mm), hole=False)
    counted = (shell, Ring(square(hole_mm), hole=True, count=across**2))
    return whole, Face(counted, whole.area, side_mm, side_mm, f"counted {side_mm} {hole_mm} {across}")


def square(side_mm: float) -> np.ndarray:
    return np.array([(0, 0), (side_mm, 0), (side_mm, side_mm), (0, side_mm)], dtype=float)


def slab(width_mm: float, height_mm: float) -> Face:
    return face(shapely.box(0, 0, width_mm, height_mm))


def triangle(side_mm: float) -> Polygon:
    """Equilateral, with its upright side on the left, as a cell of the three-way lattice lies."""
    return Polygon([(0, 0), (side_mm * sqrt(3) / 2, side_mm / 2), (0, side_mm)])


def right_triangle(side_mm: float) -> Polygon:
    """Half of it: 30, 60 and 90 degrees."""
    return Polygon([(0, 0), (side_mm * sqrt(3) / 2, 0), (0, side_mm / 2)])


def rhombus(side_mm: float, degrees: float) -> Polygon:
    """With upright and level diagonals, the longer one upright where the sharp angle is below."""
    across, up = side_mm * sin(radians(degrees / 2)), side_mm * cos(radians(degrees / 2))
    return Polygon([(0, -up), (across, 0), (0, up), (-across, 0)])


def hexagon(side_mm: float) -> Polygon:
    angles = np.arange(6) * pi / 3
    return Polygon(np.column_stack((np.cos(angles), np.sin(angles))) * side_mm)


def part(shape: Polygon | Face, count: int, spares: int = 0, filament: str = "Tea", **kwargs) -> Part:
    given = {"code": "infill", "pattern": "plain", "size": "whole", "depth_mm": 4.0, "nests": "box"} | kwargs
    its_face = face(shape) if isinstance(shape, Polygon) else shape
    return Part(filament=filament, face=its_face, count=count, spares=spares, **given)


def printer(name: str = "Small bed", **kwargs) -> Printer:
    return Printer(name=name, **kwargs)


def recipe(**kwargs) -> Recipe:
    return Recipe(**kwargs)
