import pytest

from studio.lattice.hangers import hanger_load_needed_g, hangers_for
from studio.lattice.modules import Module
from studio.problem import Refused

ONE = (Module((0,), 1000, 500),)
THREE = (Module((0,), 1000, 500), Module((1,), 500, 500), Module((2,), 500, 500))


def test_two_hangers_hold_the_panel_four_times_over():
    """5 kg times 4 is 20 kg, 10 kg for either of two hangers."""
    assert hanger_load_needed_g(5000, 4, ONE) == 10_000
    assert hangers_for(5000, 10_000, 4, ONE) == 2


def test_each_module_hangs_from_two():
    """8 kg by area: 4, 2 and 2 kg; the heaviest takes 4 * 4 / 2 = 8 kg a hanger."""
    assert hanger_load_needed_g(8000, 4, THREE) == 8000
    assert hangers_for(8000, 8000, 4, THREE) == 6


def test_weak_hangers_are_refused_because_more_of_them_do_not_help():
    with pytest.raises(
        Refused, match=r"rate_book.hanger_load_g: .*4 times over, 10.0 kg each, .*holds 2.5 kg; .*10.0 kg"
    ):
        hangers_for(5000, 2500, 4, ONE)
