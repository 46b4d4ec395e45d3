"""The wiring of a light as a picture: every strip, link, lead and feed of the plan is in it."""

import re
from decimal import Decimal
from xml.etree import ElementTree as ET

import pytest

from studio.drawing.wiring import wiring_svg
from studio.lattice.composition import compose
from studio.lattice.fit import best_fit
from studio.light.planning import Wanted, light_plan
from tests.lattice.cast import design, space
from tests.light.cast import LIGHTING, panel

NS = {"s": "http://www.w3.org/2000/svg"}
SEGMENT = re.compile(r"M(-?\d+) (-?\d+)L(-?\d+) (-?\d+)")


def drawn(width, height):
    """A panel of squares of 50 mm, its light, and the picture's root."""
    wanted = design(
        "square", cell_side_mm=Decimal(50), side_play_percent=Decimal(0), lit=True, backing="diffuser"
    )
    composition = compose(wanted, best_fit(wanted, space(width, height, gap_mm=Decimal(0))))
    light = light_plan(panel(width, height), Wanted(), LIGHTING, ["PLA"])
    return light, ET.fromstring(wiring_svg(composition, light, title="Wiring", ident="w"))


def lines(root, class_):
    """In mm."""
    data = root.find(f"s:path[@class='{class_}']", NS).get("d")
    return [[int(part) / 1000 for part in found] for found in SEGMENT.findall(data)]


@pytest.mark.parametrize("size", [(1024, 774), (774, 1024)])
def test_all_of_the_plan_is_drawn(size):
    """Places are from the lattice's upper left corner, y down; an edging of 12 mm lies outside it."""
    light, root = drawn(*size)
    pieces = [piece for feed in light.feeds for piece in feed.pieces]
    top = size[1] - 12
    assert lines(root, "strips") == [
        pytest.approx([p.start[0] - 12, top - p.start[1], p.end[0] - 12, top - p.end[1]], abs=0.001)
        for p in pieces
    ]
    assert len(lines(root, "modules")) == 4 * len(light.places)
    links = sum(len(feed.pieces) - 1 for feed in light.feeds)
    assert len(lines(root, "leads")) == 2 * len(light.feeds) + links
    drawn_mm = sum(abs(c - a) + abs(d - b) for a, b, c, d in lines(root, "leads"))
    planned_mm = sum(feed.lead_mm - LIGHTING.rules.lead_mm + feed.links_mm for feed in light.feeds)
    assert drawn_mm == pytest.approx(planned_mm, abs=0.1)


def test_each_feed_is_lettered():
    light, root = drawn(1024, 774)
    texts = [item.text for item in root.iterfind(".//s:text", NS)]
    assert [text[:3] for text in texts] == [f"F{n}:" for n in range(1, len(light.feeds) + 1)]
    first = light.feeds[0]
    assert (
        texts[0]
        == f"F1: {first.length_mm:.0f} mm, {first.fuse.amps:g} A, {first.lead.cross_section_mm2} mm², S1"
    )
    assert root.findtext("s:desc", "", NS) == "9500 mm of strip, 2 feeds from 2 supplies."
