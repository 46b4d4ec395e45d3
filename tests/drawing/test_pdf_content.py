"""The content is read back by an interpreter of its own: m, l, c, h, cm, q, Q, rg, f, B, S, w, j, RG."""

import numpy as np
import pytest

from studio.drawing.pdf_content import panel_content
from studio.problem import Refused
from tests.drawing.panels import COLOURS, panel

ARGUMENTS = {
    "m": 2,
    "l": 2,
    "c": 6,
    "h": 0,
    "cm": 6,
    "q": 0,
    "Q": 0,
    "rg": 3,
    "RG": 3,
    "f": 0,
    "B": 0,
    "S": 0,
    "w": 1,
    "j": 1,
}


def filled_areas(content: bytes) -> dict[str, list[tuple[float, float, float]]]:
    """By fill colour: (area, left, top) of each painted path, after checking every operator's arguments."""
    found: dict[str, list[tuple[float, float, float]]] = {}
    stack: list[float] = []
    at, saved, colour, rings = np.zeros(2), [], "", []
    for token in content.decode("ascii").split():
        if token not in ARGUMENTS:
            stack.append(float(token))
            continue
        assert len(stack) == ARGUMENTS[token], token
        match token:
            case "q":
                saved.append(at)
            case "Q":
                at = saved.pop()
            case "cm":
                assert stack[:4] == [1, 0, 0, 1]
                at = at + stack[4:]
            case "rg":
                colour = " ".join(f"{part:g}" for part in stack)
            case "m":
                rings.append([at + stack])
            case "l":
                rings[-1].append(at + stack)
            case "c":  # in 16 chords
                a, b, c, d = rings[-1][-1], *(at + stack[i : i + 2] for i in (0, 2, 4))
                for t in np.arange(1, 17) / 16:
                    rings[-1].append(
                        (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d
                    )
            case "f" | "B":
                points = np.vstack(rings[0])
                area = sum(_area(np.array(ring)) for ring in rings)
                found.setdefault(colour, []).append((area, *points.min(axis=0)))
                rings = []
            case "S":
                rings = []
        stack = []
    assert not saved
    return found


def _area(ring: np.ndarray) -> float:
    x, y = ring.T
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


def test_every_filled_cell_is_painted_once_in_its_colour_and_place() -> None:
    composed = panel("three-way", 9, 10, border=1, every_nth_open=5)
    painted = filled_areas(panel_content(composed, COLOURS))
    tea, indigo = painted["0.69 0.553 0.341"], painted["0.137 0.29 0.42"]
    assert len(tea) == int((composed.filament == 0).sum())
    assert len(indigo) == int((composed.filament == 1).sum())
    true = sum(composed.pieces[p].outline.area for p in composed.piece[composed.piece >= 0])
    drawn = abs(sum(area for area, _, _ in tea + indigo)) / 1000**2
    assert drawn == pytest.approx(true, rel=0.0005)
    places = {(round(left), round(top)) for _, left, top in tea + indigo}
    bounds = [composed.pieces[p].outline.bounds for p in composed.piece[composed.piece >= 0]]
    true_left = 1000 * min(x + b[0] for x, b in zip(composed.x[composed.piece >= 0], bounds, strict=True))
    assert len(places) == len(tea + indigo)
    assert min(left for left, _ in places) == pytest.approx(true_left, abs=1)


def test_holes_are_taken_out() -> None:
    composed = panel("square", 1, 1, 100)
    ringed = composed.pieces[0].outline.buffer(8) - composed.pieces[0].outline.buffer(5)
    object.__setattr__(composed.pieces[0], "outline", ringed)
    (area, _, _), *_ = filled_areas(panel_content(composed, COLOURS))["0.69 0.553 0.341"]
    assert abs(area) / 1000**2 == pytest.approx(ringed.area, rel=0.0005)


def test_white_gets_an_edge_and_tea_does_not() -> None:
    assert b"B\n" in panel_content(panel("square", 3, 3, filaments=("Chalk", "Tea")), COLOURS)
    assert b"B\n" not in panel_content(panel("square", 3, 3), COLOURS)


def test_a_missing_colour_is_refused() -> None:
    with pytest.raises(Refused, match="Walnut"):
        panel_content(panel(), {"Tea": "#b08d57"})
