"""Starting a commission: a space, a first option, and what is known of the client."""

from datetime import date
from decimal import Decimal
from typing import Annotated, cast

from django.db import transaction
from pydantic import Field

from studio.clients.models import Client
from studio.clients.models import Space as SpaceRow
from studio.clients.space_form import ReadSpace, read_space
from studio.commissions.estimating import note_change, reprice
from studio.commissions.models import Commission, Option
from studio.commissions.wanted import read_wanted
from studio.document import document, parse
from studio.forms import Form
from studio.lattice.design import BorderAndField, Design, Infill, Space
from studio.lattice.fit import best_fit
from studio.lattice.patterns import usual_patterns
from studio.people.models import User
from studio.pricing.rate_book import RateBook
from studio.pricing.tax_customs import before_tax
from studio.pricing.terms import Prices, Terms
from studio.problem import Refused, both
from studio.stored.kinds import DESIGN, SPACE, TERMS
from studio.workshop.books import current_book, the_studio

__all__ = ["first_design", "start_commission"]

SIDES_MM = (44, 60, 36, 30, 80, 24, 20)
"""Wanted cell sides, the preferred first."""
FEWEST, MOST = 8, 60
"""Columns between which a panel shows its pattern and can still be assembled by hand."""


@document
class Enquiry:
    """What is said besides the size: where it goes, and who asks."""

    where: Annotated[str, Field(min_length=1, max_length=200)] = "an empty stretch of wall"
    new_client: Annotated[str, Field(max_length=200)] = ""


def start_commission(form: Form, by: User | None, on: date) -> Commission:
    """A commission with option A, in a space that is there already or as it was said. Raises Refused."""
    row = _space(form["space"])
    said = {name: form[name].strip() for name in ("where", "new_client") if form[name]}
    enquiry, (read, wanted_on) = both(
        lambda: parse(Enquiry, said),
        lambda: both(
            lambda: None if row else read_space(form), lambda: read_wanted(form["wanted_on"], "wanted_on", on)
        ),
    )
    with transaction.atomic():
        client = _client(form, row, enquiry)
        return _started(client, row or _new_space(client, enquiry, read, by), by, on, wanted_on)


def _started(
    client: Client | None, space: SpaceRow, by: User | None, on: date, wanted_on: date | None
) -> Commission:
    rates, book = current_book(on)
    commission = Commission.objects.create(
        title=_title(client, space),
        client=client,
        space=space,
        terms=TERMS.write(_terms(client, book, the_studio().locale)),
        wanted_on=wanted_on,
        by=by,
    )
    design = first_design(SPACE.read(space.document), book)
    option = Option(commission=commission, letter="A", design=DESIGN.write(design), rate_book=rates)
    reprice(option, on)
    option.save()
    note_change(option, design, by)
    return commission


def _space(public_id: str) -> SpaceRow | None:
    if not public_id:
        return None
    found = SpaceRow.objects.filter(public_id=public_id[:12]).select_related("client").first()
    if found is None:
        raise Refused.because("space", "this space is not there any more", "type its size instead")
    return found


def _client(form: Form, space: SpaceRow | None, enquiry: Enquiry) -> Client | None:
    if space and space.client:
        return space.client
    if enquiry.new_client.strip():
        return Client.objects.create(name=enquiry.new_client.strip())
    if not form["client"]:
        return None
    found = Client.objects.filter(public_id=form["client"][:12], erased_at=None).first()
    if found is None:
        raise Refused.because("client", "this client is not there any more", "choose another one, or none")
    return found


def _new_space(client: Client | None, enquiry: Enquiry, read: ReadSpace | None, by: User | None) -> SpaceRow:
    assert read is not None  # noqa: S101 - without a row, the size was read
    return SpaceRow.objects.create(
        client=client, name=enquiry.where, document=SPACE.write(read.space), typed=dict(read.typed), by=by
    )


def _title(client: Client | None, space: SpaceRow) -> str:
    return f"{client.name}: {space.name}"[:200] if client else space.name[:1].upper() + space.name[1:]


def _terms(client: Client | None, book: RateBook, locale: str) -> Terms:
    """What is usual for prices is the studio's custom where that is to name them before tax."""
    taxes = [tax.code for tax in book.tax]
    custom: Prices = "without tax" if before_tax(locale) else "usual"
    if client is None:
        return Terms(currency=book.currency, prices=custom, tax=taxes[0])
    return Terms(
        currency=book.currency,
        client_kind="business" if client.kind == Client.Kind.BUSINESS else "consumer",
        prices=custom if client.prices == Client.Prices.USUAL else cast("Prices", client.prices),
        tax=client.tax if client.tax in taxes else taxes[0],
        distance_km=client.distance_km,
    )


def first_design(space: Space, book: RateBook) -> Design:
    """Something to talk about, from which the words are changed: hemp leaf all over with a two-cell border,
    in the first colours of the rate book that have a price; cells of a size that gives a number of columns
    fit to look at."""
    colours = [filament.name for filament in book.filaments if filament.price_per_spool is not None]
    colours = colours or [filament.name for filament in book.filaments]
    field, border, ground = (colours[index % len(colours)] for index in (0, 1, 3))
    main, second = usual_patterns("three-way")
    design = {
        "lattice_filament": ground,
        "edging_filament": ground,
        "arrangement": BorderAndField(
            field=Infill(pattern=main, filament=field),
            border=Infill(pattern=second, filament=border),
            border_cells=2,
        ),
    }
    tried = [Design(cell_side_mm=Decimal(side), **design) for side in SIDES_MM]  # type: ignore[arg-type]
    return next((found for found in tried if _suits(found, space)), tried[0])


def _suits(design: Design, space: Space) -> bool:
    try:
        fit = best_fit(design, space)
    except Refused:
        return False
    return FEWEST <= fit.columns <= MOST and fit.rows >= FEWEST
