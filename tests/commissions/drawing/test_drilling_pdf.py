"""A drilling template's PDF, measured in its own coordinates."""

import re
from dataclasses import replace
from io import BytesIO
from itertools import pairwise

import numpy as np
import pytest
from pypdf import PdfReader

from studio.commissions.drawing.drilling_pdf import template_pdf
from studio.hanging.template import Hole
from studio.hanging.template_sheets import one_sheet, tiles
from tests.hanging.test_template import WIDE

POINT_MM = 25.4 / 72
NUMBER = re.compile(rb"-?\d*\.?\d+")
STEP_MM = 297 - 20 - 10
"""From tile to tile: A4 less its margins and the overlap."""


def drawn(page):
    """Straight lines, (n, 4), and middles of circles, (m, 2), in mm from the lower left corner."""
    here, stack, lines, rings, at, numbers = np.eye(3), [], [], [], None, []
    for word in page.get_contents().get_data().split():
        if NUMBER.fullmatch(word):
            numbers.append(float(word))
            continue
        found, numbers = numbers, []
        if word == b"q":
            stack.append(here)
        elif word == b"Q":
            here = stack.pop()
        elif word == b"cm":
            a, b, c, d, e, f = found
            here = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ here
        elif word in (b"m", b"l", b"c"):
            point = (np.array([*found[-2:], 1]) @ here)[:2] * POINT_MM
            if word == b"l":
                lines.append([*at, *point])
            if word == b"c":
                rings.append((*at, *point))
            at = point
    return np.array(lines), np.array(rings).reshape(-1, 4, 4)[:, :, :2].mean(axis=1)


@pytest.fixture(scope="module")
def pages():
    return [drawn(page) for page in PdfReader(BytesIO(template_pdf(tiles(WIDE, "A4")))).pages[1:]]


def test_two_metres_are_two_metres_over_all_sheets(pages):
    """Holes 2300.25 mm apart, within 0.1 mm, and as high on each sheet."""
    at = [(x + i * STEP_MM, y) for i, (_, rings) in enumerate(pages) for x, y in rings]
    (left, low), (right, high) = min(at), max(at)
    assert right - left == pytest.approx(2300.25, abs=0.1)
    assert low == pytest.approx(high, abs=0.1)


def test_crosses_of_neighbours_meet(pages):
    for (left, _), (right, _) in pairwise(pages):
        one, other = (
            {tuple(((line[:2] + line[2:]) / 2).round(2)) for line in lines if short(line)}
            for lines in (left, right)
        )
        shared = {(round(x - STEP_MM, 2), y) for x, y in one}
        met = [a for a in shared for b in other if np.hypot(a[0] - b[0], a[1] - b[1]) < 0.1]
        assert len(met) == 2


def short(line):
    """A join's cross has lines of 8 mm."""
    return np.hypot(*(line[:2] - line[2:])) == pytest.approx(8, abs=0.1)


def test_check_bars_are_true(pages):
    for lines, _ in pages:
        level = sorted(abs(a - c) for a, b, c, d in lines if abs(b - d) < 0.01)
        assert any(abs(each - 100) < 0.05 for each in level)
        assert any(abs(each - 101.6) < 0.05 for each in level)


def test_pages_have_their_papers_size_and_can_be_read():
    reader = PdfReader(BytesIO(template_pdf(tiles(WIDE, "letter"))))
    for page in reader.pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
            (792, 612), abs=0.01
        )
    first = " ".join(reader.pages[0].extract_text().split())
    assert "Hole 1: on the level line, 1150 mm left of the centre line" in first
    assert "Sheet A1." in reader.pages[1].extract_text()


def test_one_large_sheet_is_as_true():
    small = replace(
        WIDE, region=(-500.0, -60.0, 500.0, 60.0), holes=(Hole(1, -440.0, 0.0, 1.0), Hole(2, 440.5, 0.0, 1.0))
    )
    (page,) = PdfReader(BytesIO(template_pdf([one_sheet(small)]))).pages
    _, rings = drawn(page)
    assert rings[:, 0].max() - rings[:, 0].min() == pytest.approx(880.5, abs=0.1)
