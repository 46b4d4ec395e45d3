"""What followed a yes in the releases that kept it, brought to today's state: no row, sum or seal moved."""

import json
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from hashlib import sha256
from typing import Any

import pytest
from django.apps import apps
from django.test import Client as Browser
from django.urls import reverse

from studio.commissions.entries import broken_orders
from studio.commissions.estimating import estimate_option
from studio.commissions.models import Commission, Option
from studio.estimate.engine import ENGINE
from studio.jobs.invoicing import document_of
from studio.jobs.models import Invoice
from studio.jobs.paying import paid_of
from studio.money import to_minor
from studio.people.models import User
from studio.proposals.freeze import seal_of
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.refit import making_of_refit, option_of_refit
from studio.proposals.stored import drawings_of, making_of, read
from studio.stored.kinds import BEFORE, SPACE
from studio.workshop.bookings import job_of
from studio.workshop.clock import today
from tests.released.kept import RELEASES, brought_up, read_kept

pytestmark = pytest.mark.database

MOVED: dict[str, dict[str, str]] = {"0.3.0": {}}
"""Prices of live options that later engines moved, from and to."""


@pytest.fixture(scope="module", params=RELEASES[1:], ids=lambda path: path.name.partition(".")[0])
def kept(
    request: pytest.FixtureRequest,
    django_db_setup: None,
    django_db_blocker: Any,
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[dict[str, Any]]:
    found = read_kept(request.param)
    with django_db_blocker.unblock(), brought_up(found, tmp_path_factory.mktemp("kept")):
        yield found


def fields(kept: dict[str, Any], label: str) -> list[dict[str, Any]]:
    return [row["fields"] for row in kept["rows"][label]]


def test_no_row_is_lost(kept):
    counted = {label: apps.get_model(label)._base_manager.count() for label in kept["rows"]}
    assert counted == {label: len(rows) for label, rows in kept["rows"].items()}


def test_what_was_sealed_is_as_it_was(kept):
    was = {each["public_id"]: each for each in fields(kept, "proposals.proposalissue")}
    for issue in ProposalIssue.objects.all():
        stored = read(issue)
        assert issue.seal == was[issue.public_id]["seal"]
        assert issue.seal == seal_of(issue.figures_sha256, issue.parties_sha256)
        assert set(drawings_of(issue, stored)) == set(making_of(issue, stored) or ()) == set(stored.letters)
    assert list(broken_orders()) == []


def test_what_was_agreed_and_fitted_anew_is_as_it_was(kept):
    was = {(each["seal"], each["letter"]): each for each in fields(kept, "proposals.decision")}
    for yes in Decision.objects.all():
        told = was[yes.seal, yes.letter]
        assert (yes.gross_minor, str(yes.agreed_on), yes.agreed_days) == (
            told["gross_minor"], told["agreed_on"], told["agreed_days"]
        )  # fmt: skip
    yes = Decision.objects.get(taping__gross_minor__isnull=False)
    option, making = option_of_refit(yes.taping), making_of_refit(yes.taping)
    assert to_minor(Decimal(option["estimate"]["gross"]), yes.currency) == yes.sold_minor != yes.gross_minor
    assert making["plates"]
    assert SPACE.read(yes.taping.space).taped_by_us
    assert yes.proposal.commission.options.get(letter="A").gross_minor == yes.sold_minor


def test_the_same_sums_of_money(kept):
    """Reckoned from the kept rows: what was received by stage, and what was invoiced."""
    (yes,) = Decision.objects.filter(payments__isnull=False).distinct()
    received, invoiced = Counter(), Counter()
    for each in fields(kept, "jobs.payment"):
        received[each["stage"]] += each["amount_minor"]
    for each in fields(kept, "jobs.invoice"):
        invoiced[each["stage"]] += each["gross_minor"]
    paid = paid_of(yes)
    for each in paid.stages:
        place = each.stage.place
        assert (each.received_minor, each.invoiced_minor) == (received[place], invoiced[place])
    assert paid.received_minor == 50000
    for found in Invoice.objects.all():
        assert sha256(document_of(found)).hexdigest() == found.sha256
        assert json.loads(document_of(found))["number"] == found.number


def test_the_same_hours_are_booked(kept):
    """Movements added up by hand: the hundredths of each job in its last state."""
    jobs = {row["pk"]: row["fields"]["source"] for row in kept["rows"]["workshop.booking"]}
    steps = {row["pk"]: row["fields"] for row in kept["rows"]["workshop.bookingstep"]}
    sums: dict[str, Counter[tuple[str, str]]] = {source: Counter() for source in jobs.values()}
    for each in fields(kept, "workshop.bookingmovement"):
        source = jobs[steps[each["step"]]["booking"]]
        sums[source][each["kind"], each["name"]] += each["hundredths"]
    states = {
        jobs[step["booking"]]: step["state"] for step in sorted(steps.values(), key=lambda s: s["sequence"])
    }
    for source, amounts in sums.items():
        job = job_of(source)
        assert job
        assert (job.state, +Counter(job.amounts)) == (states[source], +amounts)
    assert {"firm", "held"} <= set(states.values())


def test_an_open_variation_can_be_put_back(kept):
    varied = Commission.objects.get(before_variation__isnull=False)
    assert BEFORE.read(varied.before_variation).options


def test_the_same_prices(kept):
    """What each option cost when it was kept, at its own rates, but for what an engine has moved since."""
    counted = 0
    for option in Option.objects.select_related("commission__space", "rate_book"):
        if was := kept["prices"].get(str(option.pk)):
            found = estimate_option(option, today())
            gross = f"{to_minor(found.price.gross, found.price.currency)} {found.price.currency}"
            assert gross == MOVED[ENGINE].get(was, was)
            counted += 1
    assert counted == len(kept["prices"]) > 5


def test_pages_of_what_is_sold_are_up(kept):
    browser = Browser()
    browser.force_login(User.objects.get(role=User.Role.OWNER))
    names = (
        "jobs:payments",
        "jobs:start",
        "jobs:taping",
        "proposals:appointments",
        "proposals:for_commission",
    )
    for yes in Decision.objects.all():
        public = yes.proposal.commission.public_id
        for name in names:
            assert browser.get(reverse(name, args=[public])).status_code == 200, name
    for address in ("/", reverse("workshop-calendar"), "/letters/"):
        assert browser.get(address).status_code == 200, address
