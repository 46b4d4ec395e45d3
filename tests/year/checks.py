"""What must be true at the end of a simulated year, found from the rows and counted a second way."""

import json
import zlib
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from hashlib import sha256
from math import ceil

from django.db.models import Sum
from django.test import Client as Browser
from django.urls import reverse

from studio.commissions.entries import broken_orders
from studio.commissions.models import Commission
from studio.jobs.models import Invoice, Payment
from studio.money import from_minor
from studio.proposals.models import Decision, ProposalIssue, Taping
from studio.proposals.newest import newest_yes
from studio.proposals.stored import read
from studio.voice import Voice
from studio.workshop.bookings import booked, open_jobs
from studio.workshop.models import Booking, BookingMovement, StockMovement
from tests.year.base import DAY
from tests.year.floor import A_DAY, CLOSES, OPENS
from tests.year.shelf import below_zero
from tests.year.studio_year import Year

__all__ = ["faults"]

PACKED = ("drawings", "making", "costs")
POUNDS = Voice("en_GB", "metric", "GBP")


def faults(year: Year) -> list[str]:
    """In words, none where all is well."""
    found = (seals, prices, sums, bookings, van_days, minutes, spools)
    return [f"{check.__name__}: {fault}" for check in found for fault in check(year)]


def seals(_year: Year) -> Iterator[str]:
    """Every document has the digest that it was sealed with."""
    for issue in ProposalIssue.objects.all():
        digests = json.loads(bytes(issue.figures))
        documents = {
            **{name: (bytes(getattr(issue, name)), getattr(issue, f"{name}_sha256"))
               for name in ("figures", "parties", "pdf")},
            **{name: (zlib.decompress(bytes(getattr(issue, name))), digests[f"{name}_sha256"])
               for name in PACKED},
        }  # fmt: skip
        for name, (document, digest) in documents.items():
            if sha256(document).hexdigest() != digest:
                yield f"the {name} of {issue}"
        read(issue)  # the seal itself
    for row in (*Taping.objects.exclude(figures=None), *Invoice.objects.all()):
        document = row.figures if isinstance(row, Taping) else row.document
        digest = row.figures_sha256 if isinstance(row, Taping) else row.sha256
        if sha256(bytes(document or b"")).hexdigest() != digest:
            yield f"{row}"
    for commission, broken in broken_orders():
        yield f"entries of {commission}: {broken}"


def prices(year: Year) -> Iterator[str]:
    """A yes is to the price that its figures, its page and the client's receipt name."""
    for yes in Decision.objects.filter(answer=Decision.Answer.APPROVED).select_related("issue"):
        figures = json.loads(bytes(yes.issue.figures))
        frozen = next(each for each in figures["options"] if each["letter"] == yes.letter)["estimate"]
        link = yes.issue.links.get()
        if not int(Decimal(frozen["gross"]) * 100) == yes.gross_minor == year.receipts[link.token]:
            yield f"{yes.issue} was sold for {yes.gross_minor}, and frozen is {frozen['gross']}"
        page = Browser().get(reverse("public:proposal-page", args=(link.token,))).content.decode()
        if POUNDS.money(from_minor(yes.gross_minor or 0, "GBP")) not in page:
            yield f"the page of {yes.issue} does not name the price of {yes.gross_minor}"
        taxed = Decimal(frozen["net"]) + Decimal(frozen["tax"])
        parts = sum(Decimal(part["gross"]) for part in frozen["deposits"])
        if not taxed == parts == Decimal(frozen["gross"]):
            yield f"{yes.issue}: net and tax, stages and gross are {taxed}, {parts}, {frozen['gross']}"


def sums(year: Year) -> Iterator[str]:
    """What is handed over is paid and invoiced whole, and not more."""
    for sold in year.sold.values():
        yes = newest_yes(sold.commission)
        if yes is None or sold.commission.stage != Commission.Stage.HANDED_OVER:
            continue
        ours = {"decision__proposal__commission": sold.commission}
        paid = Payment.objects.filter(**ours).aggregate(sum=Sum("amount_minor"))["sum"]
        invoiced = Invoice.objects.filter(**ours).aggregate(sum=Sum("gross_minor"))["sum"]
        if paid != yes.sold_minor:
            yield f"{sold.commission} paid {paid} of {yes.sold_minor}"
        if invoiced != yes.sold_minor:
            yield f"{sold.commission} was invoiced {invoiced} of {yes.sold_minor}"
    for number in Invoice.objects.values_list("year", flat=True).distinct():
        sequences = sorted(Invoice.objects.filter(year=number).values_list("sequence", flat=True))
        if sequences != list(range(1, len(sequences) + 1)):
            yield f"the invoices of {number} have gaps"


def bookings(year: Year) -> Iterator[str]:
    """All that was sold is made, and takes nothing; nothing takes anything twice."""
    yield from year.booked_twice
    if taken := booked(year.on).taken:
        yield f"{taken} is booked, and all is handed over"
    for job in open_jobs(by_hand=False):
        if job.state in ("firm", "released"):
            yield f"{job.words} is {job.state}"
    sources = Counter(step.state for each in Booking.objects.all() for step in each.steps.order_by("-pk")[:1])
    made = sum(each.commission.stage == Commission.Stage.HANDED_OVER for each in year.sold.values())
    hung = Booking.objects.filter(source__contains="-hanging-")
    jobs_done = sources["done"] - sum(each.steps.order_by("-pk")[0].state == "done" for each in hung)
    if jobs_done != made:
        yield f"{jobs_done} jobs are done, and {made} are handed over"


def van_days(_year: Year) -> Iterator[str]:
    """No day of the van belongs to two appointments that were kept."""
    done = [each for each in Booking.objects.all() if each.steps.order_by("-pk")[0].state == "done"]
    days = BookingMovement.objects.filter(step__booking__in=done, kind="van days").exclude(name="")
    for row in days.values("name").annotate(sum=Sum("hundredths")):
        if row["sum"] not in (0, 100):
            yield f"{row['name']} has {row['sum'] / 100} vans"


def minutes(year: Year) -> Iterator[str]:
    """No minute of a printer or a person is given twice, none of a printer that stands still begun."""
    for one, other in year.floor.overlaps():
        yield f"{one} and {other}"
    for day, (worked, had) in year.floor.worked.items():
        if worked > had + 1e-6:
            yield f"{worked} minutes of {had} on {day}"
    for run in year.floor.runs:
        of_day = run.begins % A_DAY
        if not OPENS <= of_day <= CLOSES - 10:
            yield f"{run} begins at {of_day}"
        for printer, first in year.stood:
            begins = first.toordinal() * A_DAY
            if run.printer == printer and begins <= run.begins < begins + (7 * DAY).days * A_DAY:
                yield f"{run} begins while it stands still"


def spools(year: Year) -> Iterator[str]:
    """Nothing was used that was not there; what was used is what was printed."""
    yield from (f"{row.spool} of {row.filament} below zero by {row.key}" for row in below_zero())
    printed: Counter[str] = Counter()
    for run in year.floor.runs:
        printed[run.plate.filament] += ceil(run.plate.mass_g * 100)
    used = StockMovement.objects.filter(why=StockMovement.Why.USED).values_list("filament")
    taken = {
        filament: -grams for filament, grams in used.annotate(sum=Sum("hundredths_g")).order_by("filament")
    }
    if taken != dict(printed):
        yield f"{taken} was taken, and {printed} was printed"
