"""Ways of laying strokes out in a cell that several patterns share. Lengths in cell sides."""

from math import atan2, cos, degrees, dist, radians, sin

from studio.lattice.pattern import Arc, Line

__all__ = ["Point", "closed", "crossing_bars", "drawn_in", "petal", "rays", "ring", "ties"]

Point = tuple[float, float]
Points = tuple[Point, ...]


def rays(centre: Point, ends: Points) -> tuple[Line, ...]:
    return tuple(Line(points=(centre, end)) for end in ends)


def closed(points: Points) -> Line:
    return Line(points=(*points, points[0]))


def ring(centre: Point, radius: float) -> Arc:
    return Arc(centre=centre, radius=radius, start_deg=0, end_deg=360)


def drawn_in(centre: Point, points: Points, share: float) -> Points:
    """The points drawn in towards the centre: share 0 puts them there, 1 leaves them where they are."""
    x, y = centre
    return tuple((x + share * (px - x), y + share * (py - y)) for px, py in points)


def ties(centre: Point, ends: Points, radius: float) -> tuple[Line, ...]:
    """From a circle round the centre straight out to the ends."""
    return tuple(Line(points=(*drawn_in(centre, (end,), radius / dist(centre, end)), end)) for end in ends)


def crossing_bars(centre: Point, corners: Points) -> tuple[Line, ...]:
    """Lines through the centre, parallel to each side and long enough to leave the cell."""
    x, y = centre
    sides = zip(corners, corners[1:] + corners[:1], strict=True)
    along = [(qx - px, qy - py) for (px, py), (qx, qy) in sides]
    return tuple(Line(points=((x - dx, y - dy), (x + dx, y + dy))) for dx, dy in along)


def petal(inner: Point, outer: Point, half_angle_deg: float) -> tuple[Arc, ...]:
    """Two arcs between two points, one bulging to each side; at the points each leaves the straight line by
    `half_angle_deg`."""
    (ax, ay), (bx, by), half = inner, outer, radians(half_angle_deg)
    radius = dist(inner, outer) / (2 * sin(half))
    along, depth = degrees(atan2(by - ay, bx - ax)), radius * cos(half)
    return tuple(
        Arc(
            centre=((ax + bx) / 2 - depth * cos(radians(bulge)), (ay + by) / 2 - depth * sin(radians(bulge))),
            radius=radius,
            start_deg=bulge - half_angle_deg,
            end_deg=bulge + half_angle_deg,
        )
        for bulge in (along - 90, along + 90)
    )
