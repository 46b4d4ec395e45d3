"""What hangs on a wall: printed and bought-in mass, the load of each hanger, who lifts it."""

from dataclasses import replace
from decimal import Decimal
from typing import get_args

import pytest

from studio.commissions.call.outcome import Outcome
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.lattice.design import WayIn
from studio.pricing.quantities import count
from studio.pricing.rate_book import Bought, Per
from studio.problem import Refused
from studio.voice import PLAIN

QUESTION = example_question()
BRIEF = QUESTION.brief
STRONG = replace(QUESTION.rate_book, hanger_load_g=10**6, bought=())


def run(brief=BRIEF, book=STRONG):
    return estimate(brief, book, QUESTION.shop_state, QUESTION.as_of)


def with_space(**changes):
    return replace(BRIEF, space=replace(BRIEF.space, **changes))


def with_thing(per: Per, mass_g: float, quantity: str = "1", whole: bool = False):
    thing = Bought(
        code="thing",
        text="A thing",
        price=Decimal(1),
        per=per,
        mass_g=mass_g,
        quantity=Decimal(quantity),
        whole=whole,
    )
    return replace(STRONG, bought=(thing,))


IN_PIECES = with_space(way_in=WayIn(width_mm=Decimal(600), length_mm=Decimal(800)))
LIT = replace(
    IN_PIECES,
    design=replace(BRIEF.design, lit=True, backing="diffuser"),
    terms=replace(BRIEF.terms, distance_km=Decimal(20)),
)


@pytest.mark.parametrize("per", get_args(Per))
def test_bought_in_mass_counts_whatever_it_is_counted_by(per):
    """10 g each, as many as the price counts."""
    brief = replace(LIT, design=replace(LIT.design, backing="sheet")) if per == "sheet square metre" else LIT
    if per == "measurements sent":
        brief = replace(LIT, terms=replace(LIT.terms, survey="by the client"))
    found = run(brief, with_thing(per, 10))
    counts = count(found.bill, found.plan, brief.design, brief.terms, found.light).counts
    strips_g = found.light.mass_g if found.light else 0
    bought_g = found.hung_mass_g - found.plan.panel_mass_g - strips_g
    assert bought_g == pytest.approx(10 * float(counts[per]), abs=0.011)
    assert counts[per] > 0 or per in ("glued infill", "filament change")


def test_the_example_weighs_its_sheet_and_hangers():
    """1.1 m² of sheet at 2500 g for each of 0.87 m², and two hangers of 45 g: 2392.5 + 90 g."""
    found = run(book=QUESTION.rate_book)
    assert found.bill.backing_area_mm2 == pytest.approx(870_000, abs=4_999)
    assert found.hung_mass_g - found.plan.panel_mass_g == pytest.approx(2482.5)


def test_whole_things_weigh_as_many_as_are_bought():
    """Three tenths of a bottle for each panel is one bottle."""
    plain_g = run().hung_mass_g
    for whole, more_g in ((False, 30), (True, 100)):
        found = run(book=with_thing("commission", 100, "0.3", whole))
        assert found.hung_mass_g == pytest.approx(plain_g + more_g)


def test_glass_by_the_square_metre_is_too_much_for_the_hangers():
    """0.87 m² of 60 kg and about 3 kg printed, 4 times over two hangers: more than 20 kg each."""
    with pytest.raises(Refused, match=r"rate_book\.hanger_load_g"):
        run(book=replace(with_thing("square metre", 60_000), hanger_load_g=20_000))
    standing = with_space(mounting="free-standing")
    assert run(standing, replace(with_thing("square metre", 60_000), hanger_load_g=20_000)).price.net > 0


def lifting(found):
    return [warning.reason for warning in found.warnings if "weighs" in warning.reason]


def test_lifting_counts_what_is_bought_in():
    """A ballast that brings the panel to 20 kg may be lifted by one, a gram more not."""
    printed_g = run().plan.panel_mass_g
    assert not lifting(run(book=with_thing("commission", 20_000 - printed_g)))
    assert lifting(run(book=with_thing("commission", 20_001 - printed_g))) == [
        "the panel weighs 20 kg as hung"
    ]
    standing = run(with_space(mounting="free-standing"), with_thing("commission", 30_000 - printed_g))
    assert lifting(standing) == ["the panel weighs 30 kg in all"]


def test_lifting_is_by_the_heaviest_module():
    plain = run(IN_PIECES)
    areas = [module.width_mm * module.height_mm for module in plain.bill.modules]
    share = max(areas) / sum(areas)
    assert 0 < share < 1
    whole_g = 20_000 / share
    light, heavy = (
        run(IN_PIECES, with_thing("commission", whole_g - plain.plan.panel_mass_g + more))
        for more in (-10, 10)
    )
    assert not lifting(light)
    assert lifting(heavy) == [
        f"the panel weighs {PLAIN.mass(whole_g + 10)} as hung, its heaviest module 20 kg"
    ]


def facts(found, book=STRONG):
    return dict(Outcome(found, book, PLAIN).facts())


def test_the_load_to_be_held_is_said():
    """6.14 kg hung: two hangers hold it 4 times over at 12.28 kg each."""
    book = with_thing("commission", 6140 - run().plan.panel_mass_g)
    found = run(book=book)
    assert found.hung_mass_g == pytest.approx(6140)
    assert found.hanger_load_needed_g == pytest.approx(12_280)
    said = "2, each to hold 12.3 kg (any two carry the heaviest module 4 times over)"
    assert facts(found, book)["Hangers"] == said


@pytest.mark.parametrize("mounting", ["free-standing", "in a frame"])
def test_no_load_where_nothing_hangs(mounting):
    found = run(with_space(mounting=mounting))
    assert found.hanger_load_needed_g == 0
    assert "Hangers" not in facts(found)
