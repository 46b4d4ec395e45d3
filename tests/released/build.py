"""Writes a database of today's state: the demo, what follows a yes, and a few odd rows, as
`tests/released/N.json.gz`.

Run once for each release, from the top folder, before its successor changes a model:

    python -m tests.released.build 2

Rows are as Django's serializers write them, with the migrations up to which they hold. What is kept is
never written anew: later programs must read it.
"""

import gzip
import json
import os
import sys
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
APPS = ("letters", "people", "clients", "workshop", "commissions", "proposals", "jobs")


def build(number: int) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    _fill()
    path = HERE / f"{number}.json.gz"
    path.write_bytes(gzip.compress(json.dumps(_kept(), separators=(",", ":")).encode(), 9, mtime=0))
    sys.stdout.write(f"{path.name}: {path.stat().st_size} bytes\n")


def _kept() -> dict[str, Any]:
    from django.apps import apps
    from django.core import serializers
    from django.db import connection
    from django.db.migrations.loader import MigrationLoader

    leaves = [list(key) for key in MigrationLoader(connection).graph.leaf_nodes()]
    rows = {
        model._meta.label_lower: json.loads(serializers.serialize("json", model._base_manager.order_by("pk")))
        for app in APPS
        for model in apps.get_app_config(app).get_models()
    }
    return {"migrations": sorted(leaves), "rows": rows, "prices": _prices()}


def _prices() -> dict[str, str]:
    """What each option costs, as its list says it: later programs must come to the same sums."""
    from studio.commissions.models import Option

    return {str(o.pk): f"{o.gross_minor} {o.currency}" for o in Option.objects.exclude(gross_minor=None)}


def _fill() -> None:
    from django.utils import timezone

    from studio.board.demo import load_demo
    from studio.people.models import User

    owner = User.objects.create_user(
        "runa@studio.example", "kept-for-later-years", display_name="Runa", role=User.Role.OWNER
    )
    load_demo(owner, timezone.now())
    _odd_rows(owner)
    _after_a_yes(owner)
    _fitted_anew(owner)


def _after_a_yes(owner: Any) -> None:
    """Money, an invoice taken back, colours, a day for hanging and a variation of what the school bought; a
    slot held for the clinic; and a range that is not worked out to its end."""
    from django.utils import timezone

    from studio.commissions.estimating import estimate_option
    from studio.commissions.models import Commission, Option
    from studio.commissions.ranges import worked_on
    from studio.jobs.facts import Approval, approve_colours
    from studio.jobs.invoicing import credit, invoice
    from studio.jobs.models import ColoursApproved
    from studio.jobs.paying import counter, receive
    from studio.proposals.appointments import Agreed, agree
    from studio.proposals.holding import hold
    from studio.proposals.models import Appointment, Decision, ProposalIssue
    from studio.proposals.selling import begin_variation
    from tests.jobs.conftest import typed

    now, today = timezone.now(), timezone.localdate()
    yes = Decision.objects.get()
    receive(yes, typed("500.00", reference="Osier Quay, deposit"), owner, now)
    counter(receive(yes, typed("12.34", 2), owner, now), owner, now)
    credit(invoice(yes, 1, owner, now, tax_point=today), owner, now)
    invoice(yes, 1, owner, now, tax_point=today)
    sold = yes.issue.public_id
    samples = ColoursApproved.How.SAMPLES
    approve_colours(yes, Approval(sold=sold, approved_on=today, who="I. Fenwright", how=samples), owner, now)
    hanging = today + timedelta(days=200)
    agreed = Agreed(
        what=Appointment.What.HANGING, day=hanging, sold=sold, seen=0, whom="the porter", anyway=True
    )
    agree(yes, agreed, owner, now)
    begin_variation(yes.proposal.commission, owner, now)
    offered = ProposalIssue.objects.get(decision=None)
    hold(offered, today + timedelta(days=5), 1, owner, today)
    said = Option.objects.get(commission__title="Houseboat bulkhead", letter="A")
    worked_on(said, estimate_option(said, today), today)
    assert Commission.objects.exclude(before_variation=None).count() == 1


def _fitted_anew(owner: Any) -> None:
    """A panel that another one took the place of, after we had taped the space."""
    from django.utils import timezone

    from studio.clients.models import Client, Space
    from studio.commissions.estimating import reprice
    from studio.commissions.models import Commission, Option
    from studio.lattice import design as lattice
    from studio.pricing.terms import Terms
    from studio.proposals.issuing import issue_proposal
    from studio.proposals.taping import Taped, WordNeeded, tape
    from studio.stored.kinds import DESIGN, SPACE, TERMS
    from studio.workshop.books import current_book
    from tests.jobs.conftest import approve
    from tests.proposals.conftest import small_design

    now, today = timezone.now(), timezone.localdate()
    client = Client.objects.create(name="Ms Adeyemi, invented", kind="business", email="a@client.example")
    mm = {"widths_mm": (Decimal(320),), "heights_mm": (Decimal(260),)}
    taped = {"width_origin": "taped by the client", "height_origin": "taped by the client"}
    place = Space.objects.create(
        client=client, name="Niche", document=SPACE.write(lattice.Space(**mm, **taped))
    )
    terms = TERMS.write(Terms(client_kind="business", distance_km=Decimal(12)))
    niche = Commission.objects.create(title="Niche panel", client=client, space=place, terms=terms, by=owner)
    option = Option(commission=niche, letter="A", design=DESIGN.write(small_design()))
    option.rate_book = current_book(today)[0]
    reprice(option, today)
    option.save()
    yes = approve(issue_proposal(niche, ("A",), owner, now))
    given = {"sold": yes.issue.public_id, "width": "328", "height": "260", "taped_on": today}
    try:
        tape(niche, Taped(**given), owner, now)
    except WordNeeded as needed:
        minor = round(needed.sent.estimate.price.gross * 100)
    said = {"price_minor": minor, "who": "Ms Adeyemi", "how": "telephone", "said_on": today}
    tape(niche, Taped(**given, **said), owner, now)


def _odd_rows(owner: Any) -> None:
    """What years of use leave behind: rows of programs that were older, newer or cut short."""
    from django.utils import timezone

    from studio.clients.models import Client, Contact, Space
    from studio.commissions.entries import write_entry
    from studio.commissions.models import Commission, Option, OptionChange
    from studio.document import canonical, digest
    from studio.lattice.patterns import patterns
    from studio.proposals.erasing import erase_client
    from studio.workshop.books import current_book
    from studio.workshop.models import PatternRevision, RateBookRevision, ShopRevision

    houseboat, clinic, school = Commission.objects.order_by("pk")
    today = timezone.localdate()
    first = clinic.options.get(letter="A")
    narrow = {**first.design, "cell_side_mm": "5"}
    rates, book = current_book(today)
    same = {"currency": "GBP", "rate_book": rates}
    for letter, design in (("C", narrow), ("D", {**first.design, "glow": "soft"})):
        option = Option.objects.create(commission=houseboat, letter=letter, design=design, **same)
        OptionChange.objects.create(option=option, sequence=1, design=first.design, by=owner)
        OptionChange.objects.create(option=option, sequence=2, design=design, by=owner)
    gone = houseboat.options.get(letter="B")
    gone.removed_at = timezone.now()
    gone.save()
    OptionChange.objects.create(option=first, sequence=2, design={**first.design, "glow": "soft"}, by=owner)
    OptionChange.objects.create(option=first, sequence=3, design=first.design, by=owner, back_to=1)

    newer = {**json.loads(canonical(book)), "schema": 99, "moon_phase": "waning"}
    text = json.dumps(newer, sort_keys=True)
    unread = RateBookRevision.objects.create(
        document=text, sha256="0" * 64, effective_from=today - timedelta(days=9), currency="GBP", by=owner
    )
    own = RateBookRevision.objects.create(
        document=canonical(book).decode(), sha256=digest(book), effective_from=today, currency="GBP", by=owner
    )

    odd = Client.objects.create(name="Ø. Thrupp, an invented name as long as it may be, " + "x" * 140)
    Contact.objects.create(client=odd, name="W. Thrupp", role="sister")
    wall = {"widths_mm": ["1e3"], "heights_mm": ["800"], "measured": False}
    places = {
        "Stairs": wall,
        "Loft": {"widths_mm": ["1000"], "heights_mm": 7, "gap_mm": "wide"},
        "Porch": {},
    }
    for name, document in places.items():
        place = Space.objects.create(client=odd, name=name, document=document, typed={"widths_mm": "1 m"})
        commission = Commission.objects.create(
            title=f"Screen, {name.lower()}", client=odd, space=place, terms=clinic.terms, by=owner
        )
        kept = {"rate_book": unread if name == "Stairs" else own, "currency": "GBP"}
        Option.objects.create(commission=commission, letter="A", design=first.design, **kept)
    declined = Commission.objects.create(
        title="Room divider",
        space=school.space,
        terms={"client_kind": 3},
        stage="declined",
    )
    write_entry(declined, "No, thank you.", owner)
    Option.objects.create(commission=declined, letter="A", design=first.design, **same)

    shop = {"stock_g": "none"}
    ShopRevision.objects.create(document=json.dumps(shop)[:-3], sha256="0" * 64, by=owner)
    from studio.making.shop import Calendar
    from studio.workshop.shop import write_calendar

    write_calendar(Calendar(), owner)
    pattern = patterns("square")[0]
    for slug, document in (("moonwing", '{"slug": "moonwing", "schema": 7}'), ("cut", '{"slug": "cu')):
        PatternRevision.objects.create(
            slug=slug, revision=1, lattice=pattern.lattice, document=document, sha256="0" * 64, by=owner
        )
    someone = Client.objects.create(name="Erased person", distance_km=Decimal("3.5"))
    erase_client(someone, owner, timezone.now())


if __name__ == "__main__":
    build(int(sys.argv[1]))
