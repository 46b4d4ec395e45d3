"""What happens at the same time: an approval comes in, a neighbour changes, a currency moves, days pass."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.test import Client as Browser

from studio.clients.models import Space
from studio.commissions import estimating
from studio.commissions.enquiry.about import about_form, save_about
from studio.commissions.estimating import (
    brief_of,
    design_of,
    estimate_option,
    save_design,
    save_space_of,
    use_newer_rates,
)
from studio.commissions.models import Commission, Option
from studio.commissions.option_set import add_option, remove_option
from studio.document import dump
from studio.problem import Refused
from studio.stored.kinds import TERMS
from studio.workshop.books import current_book, save_book
from tests.commissions.conftest import start

pytestmark = pytest.mark.django_db
TODAY = date(2026, 3, 2)


def approve(commission_id: int) -> None:
    Commission.objects.filter(pk=commission_id).update(stage=Commission.Stage.APPROVED)


def test_an_approval_that_comes_in_while_we_estimate_wins(option: Option, monkeypatch) -> None:
    real = estimating.estimated

    def estimated(*args):
        approve(option.commission_id)
        return real(*args)

    monkeypatch.setattr(estimating, "estimated", estimated)
    other = replace(design_of(option), cell_side_mm=Decimal(60))
    with pytest.raises(Refused, match="approved"):
        save_design(option, other, option.revision, None, TODAY)
    assert design_of(Option.objects.get(pk=option.pk)) != other


@pytest.mark.parametrize("act", [lambda option: add_option(option, None, TODAY), remove_option])
def test_no_option_comes_or_goes_after_approval(option: Option, act) -> None:
    approve(option.commission_id)
    with pytest.raises(Refused, match="approved"):
        act(option)  # the option still believes the old stage


def test_a_page_opened_before_the_approval_does_not_take_it_back(option: Option) -> None:
    opened = Commission.objects.get(pk=option.commission_id)
    form = about_form(opened)
    approve(option.commission_id)
    save_about(form, opened, None)
    assert Commission.objects.get(pk=option.commission_id).stage == Commission.Stage.APPROVED


def test_the_client_of_a_sent_proposal_stays(signed_in: Browser) -> None:
    option = start(signed_in, new_client="Ferry House")
    Commission.objects.filter(pk=option.commission_id).update(stage=Commission.Stage.PROPOSED)
    commission = Commission.objects.get(pk=option.commission_id)
    form = about_form(commission)
    form.values["client"] = ""
    with pytest.raises(Refused, match="Ferry House"):
        save_about(form, commission, None)


def smaller(space: Space) -> Space:
    space.document = {**space.document, "widths_mm": ["420"]}
    space.save()
    return space


def test_a_sold_panel_keeps_its_space(option: Option) -> None:
    approve(option.commission_id)
    space, gross = option.commission.space, option.gross_minor
    with pytest.raises(Refused, match="approved"):
        save_space_of(space, smaller, TODAY)
    assert Space.objects.get(pk=space.pk).document["widths_mm"] == ["600"]
    assert Option.objects.get(pk=option.pk).gross_minor == gross


def test_every_option_in_a_space_follows_it(option: Option, signed_in: Browser) -> None:
    neighbour = start(signed_in)
    old = neighbour.commission.space
    Commission.objects.filter(pk=neighbour.commission_id).update(space=option.commission.space)
    old.delete()
    narrow = replace(brief_of(option).space, widths_mm=(Decimal(420),))
    around = estimating.Surroundings(narrow, brief_of(option).terms, {})
    save_design(option, design_of(option), option.revision, None, TODAY, around)
    now = Option.objects.select_related("commission__space", "rate_book").get(pk=neighbour.pk)
    assert now.revision == neighbour.revision + 1
    assert now.gross_minor == int(estimate_option(now, TODAY).price.gross * 100) < neighbour.gross_minor


def test_terms_reach_no_other_commission_in_the_space(option: Option, signed_in: Browser) -> None:
    """Least of all one that is sold."""
    own = add_option(option, None, TODAY)
    sold = start(signed_in, space=option.commission.space.public_id)
    approve(sold.commission_id)
    Option.objects.filter(pk=sold.pk).update(net_minor=7)
    brief = brief_of(option)
    terms = replace(brief.terms, distance_km=Decimal(40))
    around = estimating.Surroundings(brief.space, terms, option.commission.space.typed_texts)
    save_design(option, brief.design, option.revision, None, TODAY, around)
    assert Option.objects.get(pk=own.pk).net_minor != own.net_minor
    after = Option.objects.get(pk=sold.pk)
    assert (after.net_minor, after.revision) == (7, sold.revision)


def test_options_outlive_a_change_of_currency(option: Option) -> None:
    euros = replace(current_book(TODAY)[1], currency="EUR")
    save_book(euros, None, TODAY)
    add_option(Option.objects.get(pk=option.pk), None, TODAY)
    added = Option.objects.get(commission=option.commission, letter="B")
    assert estimate_option(added, TODAY).price.currency == added.currency == "GBP"
    use_newer_rates(added, TODAY)
    assert TERMS.read(added.commission.terms).currency == "GBP"
    assert estimate_option(added, TODAY).price.currency == added.currency == "EUR"


def test_the_strip_and_the_headline_name_the_same_day(
    option: Option, signed_in: Browser, address: str
) -> None:
    Option.objects.filter(pk=option.pk).update(ready_on=TODAY - timedelta(days=40))
    page = signed_in.get(address)
    days = {entry["ready"] for entry in page.context["side_by_side"]}
    outcome = page.context["outcome"]
    assert days == {outcome.voice.weekday(outcome.found.dates.held_on)}
    assert dump(brief_of(option))["design"]["lattice"] in page.content.decode()
