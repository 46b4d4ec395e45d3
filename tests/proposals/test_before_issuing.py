"""What must be there before a proposal may be issued: said with the page where it is given."""

from dataclasses import replace
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from studio.commissions.estimating import reprice
from studio.commissions.models import Option
from studio.pricing.example_rates import example_rate_book
from studio.pricing.terms import Terms
from studio.problem import Refused
from studio.proposals.issuing import issue_proposal
from studio.proposals.models import Proposal
from studio.stored.kinds import RATE_BOOK, TERMS
from studio.workshop.books import current_book, save_book, the_studio
from studio.workshop.clock import today
from studio.workshop.models import RateBookRevision
from studio.workshop.set_on import rates_of

RATES_PAGES = [
    f"/workshop/{slug}/"
    for slug in ("filaments", "printers", "labour", "bought", "lighting", "price", "calendar")
]


def refused(commission, owner) -> list[tuple[str, str]]:
    with pytest.raises(Refused) as caught:
        issue_proposal(commission, ("A", "B"), owner, timezone.now())
    assert not Proposal.objects.exists()
    return [(problem.field, problem.address) for problem in caught.value.problems]


def at_rates(commission, book) -> RateBookRevision:
    """The commission's options priced by a book, which holds from today."""
    text, sha256 = RATE_BOOK.write_text(book)
    made = RateBookRevision.objects.create(
        document=text, sha256=sha256, effective_from=today(), currency=book.currency
    )
    for option in commission.options.all():
        option.rate_book = made
        reprice(option, today())
        option.save()
    return made


def test_example_rates_are_refused_page_by_page(commission, owner):
    at_rates(commission, example_rate_book())
    assert refused(commission, owner) == [("rates", address) for address in RATES_PAGES]


@pytest.mark.parametrize(
    ("key", "page"),
    [("hanger_load_g", "price"), ("hanger_safety_factor", "price"), ("uncertainty", "price"),
     ("hours", "calendar"), ("roles.maker", "labour"), ("carrier.Small parcel", "bought")],
)  # fmt: skip
def test_one_rate_that_nobody_set_is_enough(commission, owner, key, page):
    book = current_book(today())[1]
    at_rates(commission, replace(book, set_on={k: day for k, day in book.set_on.items() if k != key}))
    assert refused(commission, owner) == [("rates", f"/workshop/{page}/")]


def test_an_option_at_older_examples_is_to_be_brought_to_the_studios_rates(commission, owner):
    at_rates(commission, example_rate_book())
    save_book(example_rate_book(), owner, today(), frozenset(rates_of(example_rate_book())))
    compare = [f"/commissions/{commission.public_id}/options/{letter}/rates/compare/" for letter in "AB"]
    assert refused(commission, owner) == [("rates", address) for address in compare]


@pytest.mark.parametrize("name", ["Our studio", " "])
def test_a_studio_without_a_name_issues_nothing(commission, owner, name):
    studio = the_studio()
    studio.name = name
    studio.save()
    assert refused(commission, owner) == [("studio", "/workshop/")]


@pytest.mark.parametrize(
    ("terms", "asked"),
    [
        (Terms(), True),
        (Terms(survey="none"), True),
        (Terms(delivery="collected"), True),  # somebody still goes there to measure
        (Terms(delivery="sent by carrier", survey="by the client"), False),
        (Terms(delivery="collected", survey="none"), False),
        (Terms(distance_km=Decimal(0)), False),  # in the same house
    ],
)
def test_a_way_that_is_gone_needs_its_distance(commission, owner, terms, asked):
    commission.terms = TERMS.write(terms)
    commission.save()
    if asked:
        address = f"/commissions/{commission.public_id}/options/A/"
        assert refused(commission, owner) == [("terms.distance_km", address)]
    else:
        assert issue_proposal(commission, ("A",), owner, timezone.now()).number == 1


def test_the_page_says_it_before_and_after_and_keeps_what_was_ticked(commission, signed_in):
    studio = the_studio()
    studio.name = "Our studio"
    studio.save()
    commission.terms = TERMS.write(Terms())
    commission.save()
    address = reverse("proposals:for_commission", args=(commission.public_id,))
    before = signed_in.get(address)
    links = ['<a href="/workshop/">Name the studio</a>', 'options/A/">Say how far</a>']
    assert before.status_code == 200
    assert all(link in before.content.decode() for link in links)
    after = signed_in.post(f"{address}issue/", {"letters": ["B"], "workings": "1", "after": "0"})
    page = after.content.decode()
    assert after.status_code == 422
    assert all(page.count(link.replace("/A/", "/B/")) == 1 for link in links)  # of those that are ticked
    assert 'value="B" checked' in page
    assert 'value="A" checked' not in page
    assert 'name="workings" value="1" checked' in page
    assert Option.objects.filter(commission=commission).count() == 2
