"""Heights: common practice and its bands."""

import pytest

from studio.hanging.height import CENTRE_MM, CLEARANCE_MM, VIEWING_MM, height_for
from studio.problem import Refused


def test_the_usual_height_lies_in_the_usual_bands():
    """57 to 60 inches for a picture's centre; 1100 to 1675 mm for what is looked at on walls; 6 to 8 inches
    above furniture."""
    assert 57 * 25.4 <= CENTRE_MM <= 60 * 25.4
    assert VIEWING_MM[0] <= CENTRE_MM <= VIEWING_MM[1]
    assert 6 * 25.4 <= CLEARANCE_MM <= 8 * 25.4
    found = height_for(800)
    assert (found.bottom_mm, found.centre_mm, found.notes) == (1100, 1500, ())


def test_over_a_desk_it_goes_up_and_says_so_where_it_must():
    """A desk of 740 mm (720 to 760, common practice) and 180 mm: from 920 mm on."""
    assert height_for(1000, below_mm=740).bottom_mm == 1000
    high = height_for(1600, below_mm=740)
    assert (high.bottom_mm, high.centre_mm) == (920, 1720)
    assert "1720 mm above the floor, outside the 1100 mm to 1675 mm" in high.notes[0]


def test_seated_people_and_ceilings():
    assert height_for(600, seated=True).centre_mm == 1200
    assert height_for(2400, ceiling_mm=2500).bottom_mm == 100
    with pytest.raises(Refused, match=r"space\.heights_mm"):
        height_for(1700, below_mm=740, ceiling_mm=2500)
