"""Patterns of a studio's own, as documents."""

from copy import deepcopy

from hypothesis import strategies as st


def line(*points):
    return {"kind": "line", "points": [list(point) for point in points]}


def arc(radius, start_deg, end_deg, centre=(0, 0)):
    return {
        "kind": "arc",
        "centre": list(centre),
        "radius": radius,
        "start_deg": start_deg,
        "end_deg": end_deg,
    }


def fill(*points):
    return {**line(*points), "kind": "fill"}


TRELLIS = {
    "slug": "trellis",
    "name": "Trellis",
    "shows": "Two bars, crossing off the middle.",
    "lattice": "square",
    "whole": [line((-0.5, 0.1), (0.5, 0.1)), line((-0.1, -0.5), (-0.1, 0.5))],
}
"""A pattern that can be printed, and that the program does not have."""

KITE = {
    "slug": "kite",
    "name": "Kite",
    "lattice": "diamond",
    "whole": [line((-1, 0), (1, 0)), line((0, -1), (0, 1))],
    "half_level": [line((0, 0), (0, 1)), line((-0.5, 0), (-0.5, 0.5)), line((-0.7, 0.2), (0.7, 0.2))],
    "half_upright": [line((0, 0), (1, 0))],
    "quarter": [line((0, 0), (0.5, 0.5))],
}


def changed(document=TRELLIS, **changes):
    return {**deepcopy(document), **changes}


numbers = st.one_of(
    st.floats(-4, 4, width=16),
    st.integers(-5, 5),
    st.sampled_from([0.5, -0.5, 0.0, float("nan"), float("inf"), "0,5", "x", True, None, "1e400"]),
)
points = st.lists(numbers, min_size=2, max_size=2) | st.lists(numbers, max_size=3)
strokes = st.one_of(
    st.builds(lambda ps: {"kind": "line", "points": ps}, st.lists(points, max_size=6)),
    st.builds(lambda ps: {"kind": "fill", "points": ps}, st.lists(points, max_size=6)),
    st.builds(lambda c, r, a, b: arc(r, a, b, c), points, numbers, numbers, numbers | st.integers(-720, 720)),
)
json_values = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)
near = st.floats(-0.625, 0.625, width=16)
sound_strokes = st.one_of(
    st.lists(st.tuples(near, near), min_size=2, max_size=5).map(lambda ps: line(*ps)),
    st.lists(st.tuples(near, near), min_size=3, max_size=5).map(lambda ps: fill(*ps)),
    st.builds(
        lambda x, y, radius, start, span: arc(radius, start, start + span, (x, y)),
        near, near, st.floats(0.0625, 0.75, width=16), st.integers(-360, 360), st.integers(1, 360),
    ),
)  # fmt: skip
