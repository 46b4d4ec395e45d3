import pytest

from studio.lattice.hangers import check_hangers, hanger_load_needed_g, heaviest_module_g
from studio.lattice.modules import Module
from studio.problem import Refused
from studio.voice import PLAIN

ONE = (Module((0,), 1000, 500),)
THREE = (Module((0,), 1000, 500), Module((1,), 500, 500), Module((2,), 500, 500))


def test_two_hangers_hold_the_panel_four_times_over():
    """5 kg times 4 is 20 kg, 10 kg for either of two hangers."""
    assert hanger_load_needed_g(5000, 4, ONE) == 10_000
    check_hangers(5000, 10_000, 4, ONE)
    with pytest.raises(Refused):
        check_hangers(5000, 9_999, 4, ONE)


def test_each_module_hangs_from_two():
    """8 kg by area: 4, 2 and 2 kg; the heaviest takes 4 * 4 / 2 = 8 kg a hanger."""
    assert heaviest_module_g(8000, THREE) == 4000
    assert hanger_load_needed_g(8000, 4, THREE) == 8000
    check_hangers(8000, 8000, 4, THREE)
    with pytest.raises(Refused):
        check_hangers(8000, 7_999, 4, THREE)


def test_weak_hangers_are_refused_because_more_of_them_do_not_help():
    with pytest.raises(
        Refused, match=r"rate_book.hanger_load_g: .*4 times over, 10 kg each, .*holds 2.5 kg; .*10 kg"
    ):
        check_hangers(5000, 2500, 4, ONE)


@pytest.mark.parametrize(("load_g", "told_kg"), [(12_300, 12.3), (12_300.004, 12.3), (12_301, 12.4), (0, 0)])
def test_a_load_is_told_no_lower_than_it_is(load_g, told_kg):
    assert PLAIN.load(load_g) == f"{told_kg} kg"


def test_hangers_bought_by_the_figure_of_a_refusal_will_do():
    """6.02 kg times 4 over 2 is 12.04 kg: told as 12.1, not 12.0."""
    with pytest.raises(Refused, match=r"at least 12.1 kg each"):
        check_hangers(6020, 12_000, 4, ONE)
    check_hangers(6020, 12_100, 4, ONE)
