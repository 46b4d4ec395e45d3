"""Ways of laying strokes out in a cell that several patterns share. Lengths in cell sides."""

from math import atan2, cos, degrees, dist, radians, sin

from studio.lattice.pattern import Arc, Line

__all__ = [
    "Point", "Points", "arcs_round", "closed", "crossing_bars", "drawn_in", "middles", "petal", "rays",
    "ring", "ties", "whirl",
]  # fmt: skip

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


def middles(corners: Points) -> Points:
    """Of the sides."""
    sides = zip(corners, corners[1:] + corners[:1], strict=True)
    return tuple(((px + qx) / 2, (py + qy) / 2) for (px, py), (qx, qy) in sides)


def whirl(corners: Points) -> tuple[Line, ...]:
    """In a triangle: from each corner towards a third of the opposite side, as far as the next such bar. They
    leave a triangle of a seventh of the area in the middle (Routh's theorem)."""
    turns = [corners[i:] + corners[:i] for i in range(3)]
    meet = [((4 * a[0] + 2 * b[0] + c[0]) / 7, (4 * a[1] + 2 * b[1] + c[1]) / 7) for a, b, c in turns]
    return tuple(Line(points=(corner, meet[i - 2])) for i, corner in enumerate(corners))


def arcs_round(corners: Points, through: Point) -> tuple[Arc, ...]:
    """In a triangle whose corners run anticlockwise: an arc round each from side to side, all through one
    point."""
    arcs = []
    for i, (x, y) in enumerate(corners):
        (px, py), (qx, qy) = corners[i - 2], corners[i - 1]
        start, end = degrees(atan2(py - y, px - x)), degrees(atan2(qy - y, qx - x))
        radius = dist((x, y), through)
        arcs.append(Arc(centre=(x, y), radius=radius, start_deg=start, end_deg=start + (end - start) % 360))
    return tuple(arcs)


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
