"""What is said of an opening."""

from dataclasses import replace
from decimal import Decimal

import pytest

from studio.estimate.opening import opening_warnings
from studio.lattice.design import Space
from studio.lattice.origin import Uncertainty
from tests.estimate.said import SAID, TAPED

OPENING = Space(widths_mm=(Decimal(1200),), heights_mm=(Decimal(900),), **TAPED)


def told(space: Space, left_over_mm: tuple[float, float] = (0, 0)) -> list[tuple[str, str, str]]:
    found = opening_warnings(space, left_over_mm, Uncertainty())
    return [(each.field.removeprefix("brief.space."), str(each.reason), str(each.remedy)) for each in found]


def test_a_taped_opening_with_gaps_has_nothing_to_be_said():
    assert told(OPENING) == []
    assert (
        told(replace(OPENING, diagonals_mm=(Decimal(1500), Decimal(1500)), out_of_plumb_mm=Decimal(0))) == []
    )


def test_the_side_that_is_not_taped_is_named():
    half = replace(OPENING, height_origin="paced")
    assert told(half) == [
        ("height_origin", "the space is not measured yet", "measure it before the price is promised")
    ]
    assert told(replace(OPENING, **SAID))[0][0] == "width_origin"


@pytest.mark.parametrize(("gap", "left", "warned"), [("5", 0, False), ("4", 0, True), ("4", 2, False)])
def test_a_tape_is_trusted_as_far_as_the_gaps_go(gap, left, warned):
    """10 mm of the client's against twice the gap and what is left over."""
    found = told(replace(OPENING, width_origin="taped by the client", gap_mm=Decimal(gap)), (left, left))
    wanted = (
        "width_origin",
        "the width is taped by the client and may be 10 mm out, and 8 mm are free",
        "tape it again before anything is made, or leave a gap of 5 mm on each side",
    )
    assert found == ([wanted] if warned else [])


def test_a_corner_out_of_square_is_told_when_the_gaps_do_not_cover_it():
    """1515 and 1485: 90 000 / 4 / 900 = 25 mm up or down, 18.75 mm sideways."""
    leaning = replace(OPENING, diagonals_mm=(Decimal(1515), Decimal(1485)))
    wanted = (
        "diagonals_mm",
        "the opening leans 25 mm up or down, and 10 mm are free",
        "leave a gap of 12.5 mm on each side",
    )
    assert told(leaning) == [wanted]
    assert told(replace(leaning, gap_mm=Decimal("12.5"))) == []
    assert told(leaning, (9, 15)) == []


def test_sides_out_of_plumb_are_told_by_the_plumb():
    plumb = replace(OPENING, out_of_plumb_mm=Decimal(11))
    assert told(plumb) == [
        (
            "out_of_plumb_mm",
            "the opening leans 11 mm sideways, and 10 mm are free",
            "leave a gap of 5.5 mm on each side",
        )
    ]
    assert told(replace(plumb, out_of_plumb_mm=Decimal(10))) == []


def test_diagonals_of_another_opening_are_told_before_any_lean():
    (found,) = told(replace(OPENING, diagonals_mm=(Decimal(1500), Decimal(1700))))
    assert found[:2] == (
        "diagonals_mm", "the diagonals do not belong to an opening with these widths and heights"
    )  # fmt: skip
    assert found[2] == "measure again: both would lie about 1490 mm to 1510 mm"
