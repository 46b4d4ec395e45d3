"""What sets two priced options apart."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from studio.estimate.compare import compare, money_by_group
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.lattice.design import WayIn
from studio.pricing.terms import Discount

QUESTION = example_question()


def estimated(**changes):
    brief = replace(QUESTION.brief, design=replace(QUESTION.brief.design, **changes))
    return estimate(brief, QUESTION.rate_book, QUESTION.shop_state, date(2026, 3, 2))


FIRST = estimated()


def test_groups_add_up_to_net():
    for found in (FIRST, estimated(lit=True, backing="diffuser")):
        assert sum(share.amount for share in money_by_group(found)) == found.price.net


def test_an_option_like_itself_is_nothing_more_for_no_reason():
    found = compare(FIRST, FIRST)
    assert (found.more, found.reasons) == (0, ())


def test_larger_cells_are_less_for_fewer_pieces_and_hours():
    other = estimated(cell_side_mm=Decimal(66))
    found = compare(FIRST, other)
    assert found.more == other.price.net - FIRST.price.net < 0
    hours = sum(FIRST.plan.minutes_by_printer.values()) - sum(other.plan.minutes_by_printer.values())
    assert f"{hours / 60:.0f} h less printing" in found.reasons
    pieces = [sum(part.count for part in each.bill.infills) for each in (FIRST, other)]
    assert f"{pieces[0] - pieces[1]} fewer pieces" in found.reasons
    assert len(found.reasons) <= 4


def test_there_and_back_is_the_same_difference():
    other = estimated(depth_mm=Decimal(20))
    assert compare(FIRST, other).more == -compare(other, FIRST).more


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"backing": "none"}, "no backing"),
        ({"backing": "diffuser", "lit": True}, "a light"),
        ({"lattice_filament": "Moss"}, "1 more colour"),
    ],
)
def test_what_was_left_out_or_put_in_is_named(changes, says):
    assert says in compare(FIRST, estimated(**changes)).reasons


def test_the_consumer_reads_gross():
    terms = replace(QUESTION.brief.terms, client_kind="consumer")
    pair = [
        estimate(replace(e.brief, terms=terms), QUESTION.rate_book, QUESTION.shop_state, date(2026, 3, 2))
        for e in (FIRST, estimated(depth_mm=Decimal(20)))
    ]
    assert compare(*pair).more == pair[1].price.gross - pair[0].price.gross


def on_terms(book=QUESTION.rate_book, **changes):
    brief = replace(QUESTION.brief, terms=replace(QUESTION.brief.terms, **changes))
    return estimate(brief, book, QUESTION.shop_state, date(2026, 3, 2))


def off(pounds: int) -> Discount:
    return Discount(kind="amount", value=Decimal(pounds), reason="a friend")


@pytest.mark.parametrize(
    ("was", "now", "says"),
    [
        (None, off(300), "a discount"),
        (off(300), None, "no discount"),
        (off(300), off(500), "a larger discount"),
        (off(500), off(300), "a smaller discount"),
    ],
)
def test_a_discount_is_the_reason_for_all_that_it_takes_off(was, now, says):
    found = compare(
        on_terms(client_kind="business", discount=was), on_terms(client_kind="business", discount=now)
    )
    assert found.reasons == (says,)
    assert found.more == (was.value if was else 0) - (now.value if now else 0)


@pytest.mark.parametrize(("more", "first"), [(-1, "2 h less work"), (1, "a discount")])
def test_a_cost_counts_with_what_is_put_on_it_when_reasons_are_ordered(more, first):
    """Hanging is two hours of labour and of overhead, at what each pound of cost is in the net."""
    kept, book = on_terms(client_kind="business"), QUESTION.rate_book
    cost = 2 * (book.roles["installer"] + book.overhead_per_hour)
    pounds = int(cost * kept.price.net / kept.price.cost) + more
    other = on_terms(client_kind="business", delivery="delivered", discount=off(pounds))
    assert next(words for words in compare(kept, other).reasons if words != "delivered") == first


@pytest.mark.parametrize(("more", "first"), [(-1, "delivered"), (1, "a discount")])
def test_a_trip_left_out_counts_by_the_difference_of_its_headings(more, first):
    """By what the client's lines for the trip go down."""
    kept, bare = on_terms(client_kind="business"), on_terms(client_kind="business", delivery="delivered")
    there, here = (
        sum(line.amount for line in found.price.client_lines if line.code in ("delivery", "hanging"))
        for found in (kept, bare)
    )
    other = on_terms(client_kind="business", delivery="delivered", discount=off(int(there - here) + more))
    assert next(words for words in compare(kept, other).reasons if "work" not in words) == first


@pytest.mark.parametrize(("more", "first"), [(-10, "Outside VAT 0 %"), (10, "a discount")])
def test_a_tax_counts_with_what_it_would_be_on_the_new_price(more, first):
    """A discount d on a net n is as much as 20 % of what is left where d = (n - d) / 5, so d = n / 6."""
    taxed = on_terms(client_kind="consumer")
    pounds = int(taxed.price.net / 6) + more
    outside = on_terms(client_kind="consumer", tax="zero", discount=off(pounds))
    assert compare(taxed, outside).reasons[0] == first


def test_who_measures_is_named():
    assert "no survey" in compare(on_terms(), on_terms(survey="none")).reasons
    assert "a trip to measure" in compare(on_terms(survey="none"), on_terms()).reasons


def test_another_reason_for_the_same_discount_is_no_reason():
    other = replace(off(300), reason="a neighbour")
    assert compare(on_terms(discount=off(300)), on_terms(discount=other)).reasons == ()


def test_a_referral_is_named_where_it_takes_a_share():
    shared = replace(QUESTION.rate_book, referral_percent=Decimal(10))
    free = replace(QUESTION.rate_book, referral_percent=Decimal(0))
    assert compare(on_terms(shared), on_terms(shared, referral=True)).reasons == ("a referral",)
    assert compare(on_terms(free), on_terms(free, referral=True)).reasons == ()


def test_a_tax_category_is_named_to_those_who_pay_gross():
    taxed, outside = on_terms(client_kind="consumer"), on_terms(client_kind="consumer", tax="zero")
    (line,) = outside.price.taxes
    assert compare(taxed, outside).reasons == (f"{line.text} 0 %",)
    assert (
        compare(on_terms(client_kind="business"), on_terms(client_kind="business", tax="zero")).reasons == ()
    )


def test_distance_is_named_where_it_costs():
    """50 km further: 100 km more there and back, to the survey and with the panel, at 1.5 minutes of one and
    of two people: 100 * 1.5 * 3 / 60 = 7.5 h."""
    near = on_terms(distance_km=Decimal(10))
    far = on_terms(distance_km=Decimal(60))
    assert far.price.labour_minutes - near.price.labour_minutes == 450
    assert compare(near, far).reasons[0] == "50 km further"
    assert compare(far, near).reasons[0] == "50 km nearer"


def test_hanging_left_out_is_named():
    assert "delivered" in compare(on_terms(), on_terms(delivery="delivered")).reasons


def test_mounting_and_modules_are_named():
    space = QUESTION.brief.space
    narrow = WayIn(width_mm=Decimal(300), length_mm=Decimal(500))
    for changed, says in (
        (replace(space, mounting="in a frame"), "in a frame"),
        (replace(space, way_in=narrow), "9 more modules"),
    ):
        other = estimate(
            replace(QUESTION.brief, space=changed),
            replace(QUESTION.rate_book, day_weight=None),  # in twenty sections, of which modules take two
            QUESTION.shop_state,
            date(2026, 3, 2),
        )
        assert says in compare(FIRST, other).reasons
        assert len(other.bill.modules) == (10 if "modules" in says else 1)


def test_an_edging_left_out_or_made_wider_is_named():
    none, narrow, wide = (estimated(edging_width_mm=Decimal(mm)) for mm in (0, 12, 24))
    assert "no edging" in compare(narrow, none).reasons
    assert "an edging" in compare(none, narrow).reasons
    assert "a wider edging" in compare(narrow, wide).reasons


def test_a_studios_own_codes_give_the_same_reasons():
    book = QUESTION.rate_book
    own = replace(
        book,
        operations=tuple(replace(each, code=f"my-{each.code}") for each in book.operations),
        bought=tuple(replace(each, code=f"my-{each.code}") for each in book.bought),
    )
    design = replace(
        QUESTION.brief.design, cell_side_mm=Decimal(60), lit=True, backing="diffuser", lattice_filament="Moss"
    )
    terms = replace(QUESTION.brief.terms, delivery="collected")
    changed = replace(QUESTION.brief, design=design, terms=terms)
    of_example, of_own = (
        compare(
            *(
                estimate(brief, rates, QUESTION.shop_state, QUESTION.as_of)
                for brief in (QUESTION.brief, changed)
            )
        )
        for rates in (book, own)
    )
    assert of_own.reasons == of_example.reasons
    assert len(of_own.reasons) == 4


def test_most_money_comes_first():
    """A discount of £5 is less than the light costs, one of £1000 more."""
    lit = replace(QUESTION.brief, design=replace(QUESTION.brief.design, lit=True, backing="diffuser"))
    for pounds, place in ((5, -1), (1000, 0)):
        brief = replace(lit, terms=replace(lit.terms, discount=off(pounds)))
        other = estimate(brief, QUESTION.rate_book, QUESTION.shop_state, date(2026, 3, 2))
        assert compare(FIRST, other).reasons[place] == "a discount"


def test_filament_is_all_that_is_used_not_the_panel_alone():
    other = estimated(depth_mm=Decimal(20))
    used = [sum(use.mass_g for use in each.plan.filaments) / 1000 for each in (FIRST, other)]
    panel = [each.plan.panel_mass_g / 1000 for each in (FIRST, other)]
    assert f"{used[1] - used[0]:.1f}" != f"{panel[1] - panel[0]:.1f}"
    assert f"{used[1] - used[0]:.1f} kg more filament" in compare(FIRST, other).reasons
