"""An invented studio with invented clients: three commissions, each at another point of its way.

Everything goes through the services that the site uses: options are priced by the line, the proposals are
issued, and the music school's yes is decided like any other.
"""

from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils import timezone

from studio.clients.models import Client, Space
from studio.commissions.entries import write_entry
from studio.commissions.estimating import note_change, reprice
from studio.commissions.models import LETTERS, Commission, Option
from studio.lattice import design as lattice
from studio.people.models import User
from studio.pricing.terms import Terms
from studio.proposals.days import promises_of
from studio.proposals.deciding import decide
from studio.proposals.issuing import issue_proposal
from studio.proposals.standing import Reply
from studio.proposals.stored import read
from studio.proposals.telling import keep_message
from studio.stored.kinds import DESIGN, SPACE, TERMS
from studio.workshop.books import current_book, save_book, the_studio
from studio.workshop.set_on import rates_of

__all__ = ["load_demo"]

TAPED_INDOORS: dict[str, Any] = {
    "width_origin": "taped by us", "height_origin": "taped by us", "indoors": True, "near_heat": False,
}  # fmt: skip


@transaction.atomic
def load_demo(by: User | None, now: datetime) -> list[Commission]:
    """Three commissions: an enquiry, a proposal with three options, an approved one."""
    _name_the_studio()
    _settle_the_rates(by, timezone.localdate(now))
    houseboat, clinic, school = _houseboat(by, now), _clinic(by, now), _music_school(by, now)
    _propose_to_the_clinic(clinic, by, now)
    _approve_by_the_school(school, by, now)
    return [houseboat, clinic, school]


def _name_the_studio() -> None:
    studio = the_studio()
    studio.name = "Sallow & Strake, lattice makers"
    studio.address = "The Old Net Loft\nEel Quay\nSallowmere"
    studio.email, studio.phone = "workshop@sallow-strake.example", "01632 960 114"
    studio.terms_text = (
        "Payment by bank transfer within seven days of each invoice. Colours are approved on printed "
        "samples, which we send with the order. We mend or replace a piece that comes loose within two years."
    )
    studio.invented = True
    studio.save()


def _settle_the_rates(by: User | None, today: date) -> None:
    """The demo studio says of the invented rates that they are its own: it issues proposals."""
    _revision, book = current_book(today)
    save_book(book, by, today, frozenset(rates_of(book)))


def _houseboat(by: User | None, now: datetime) -> Commission:
    """Said on the telephone: no name, no measure."""
    document = lattice.Space(
        widths_mm=(Decimal(900),), heights_mm=(Decimal(600),),
        way_in=lattice.WayIn(width_mm=Decimal(560), length_mm=Decimal(1600)), stands_near=("bed",),
    )  # fmt: skip
    space = Space.objects.create(
        name="Bulkhead of a houseboat, above the bunk",
        document=SPACE.write(document),
        typed={"widths_mm": "about 90 cm", "heights_mm": "60 cm or so"},
        notes="Companionway about 56 cm wide.",
        by=by,
    )
    return _start(
        by,
        now,
        title="Houseboat bulkhead",
        space=space,
        terms=Terms(delivery="delivered"),
        designs=(_plain(pattern="six-petals", filament="Sand", lattice_filament="Moss"), _drifting()),
        said="Rang from the lock, bad line. Wants something light between bunk and galley. Will ring back "
        "with a name and a tape measure.",
        next_step="Ring back for the name and the size",
        next_in_days=2,
    )


def _drifting() -> lattice.Design:
    """A diamond lattice that grows denser towards the galley."""
    light, dense = _infill("crossed-diamond", "Sand"), _infill("diamond-leaf", "Moss")
    design = _plain(lattice="diamond", lattice_filament="Moss")
    return replace(design, arrangement=lattice.Drift(first=light, second=dense))


def _clinic(by: User | None, now: datetime) -> Commission:
    client = Client.objects.create(
        name="Tarn Lane Clinic",
        kind=Client.Kind.BUSINESS,
        email="manager@tarn-lane-clinic.example",
        phone="01632 960 230",
        address="3 Tarn Lane\nSallowmere",
        distance_km=Decimal(14),
        invented=True,
    )
    document = lattice.Space(
        widths_mm=(Decimal(1200), Decimal(1197), Decimal(1194)),
        heights_mm=(Decimal(752), Decimal(750)),
        **TAPED_INDOORS,
        public_room=True,
        above_people=True,
        floor_to_bottom_mm=Decimal(1150),
        stands_near=("desk",),
    )
    return _start(
        by,
        now,
        title="Reception backdrop",
        space=_measured(client, "Wall behind the reception desk", document, by),
        client=client,
        terms=Terms(client_kind="business", distance_km=Decimal(14)),
        designs=_calm_designs(),
        said="Calm, not clinical. Patients look at it while they wait. Maybe light behind: the corner is "
        "dark.",
        next_step="Ask whether the board has met",
        next_in_days=6,
    )


def _calm_designs() -> tuple[lattice.Design, ...]:
    """Border and field, the same lit, and a square lattice with a backing."""
    border, field = _infill("basket-weave", "Indigo"), _infill("hemp-leaf", "Tea")
    first = replace(_plain(), arrangement=lattice.BorderAndField(border=border, border_cells=2, field=field))
    square = _plain(
        lattice="square",
        pattern="seven-treasures",
        filament="Chalk",
        cell_side_mm=Decimal(60),
        backing="sheet",
    )
    return first, replace(first, backing="diffuser", lit=True), square


def _music_school(by: User | None, now: datetime) -> Commission:
    client = Client.objects.create(
        name="Osier Quay Music School",
        kind=Client.Kind.BUSINESS,
        email="bursar@osier-quay.example",
        phone="01632 960 341",
        address="Osier Quay\nSallowmere",
        distance_km=Decimal(6),
        invented=True,
    )
    document = lattice.Space(
        widths_mm=(Decimal(840), Decimal(838)),
        heights_mm=(Decimal(1020), Decimal(1021)),
        **TAPED_INDOORS,
        public_room=True,
        above_people=False,
    )
    space = _measured(client, "Practice room 2, between the windows", document, by)
    rings = lattice.Rings(rings=(_band("spoked-ring", "Persimmon", 2), _band("hemp-leaf", "Sand", 2)))
    bands = lattice.Bands(bands=(_band("hemp-leaf", "Sand", 4), _band("basket-weave", "Persimmon", 2)))
    charcoal = _plain(lattice_filament="Charcoal")
    return _start(
        by,
        now,
        title="Practice room screen",
        space=space,
        client=client,
        terms=Terms(client_kind="business", distance_km=Decimal(6)),
        designs=(replace(charcoal, arrangement=rings), replace(charcoal, arrangement=bands)),
        said="Something warm between two cold windows. Must not rattle when the cellos play.",
        next_step="Send the deposit invoice and colour samples",
        next_in_days=1,
    )


def _plain(
    *, lattice_filament: str = "Walnut", pattern: str = "hemp-leaf", filament: str = "Tea", **more
) -> lattice.Design:
    return lattice.Design(
        lattice_filament=lattice_filament,
        edging_filament=lattice_filament,
        arrangement=lattice.AllOver(infill=_infill(pattern, filament)),
        **more,
    )


def _infill(pattern: str, filament: str) -> lattice.Infill:
    return lattice.Infill(pattern=pattern, filament=filament)


def _band(pattern: str, filament: str, cells: int) -> lattice.Band:
    return lattice.Band(infill=_infill(pattern, filament), cells=cells)


def _measured(client: Client, name: str, document: lattice.Space, by: User | None) -> Space:
    measured_by = by.display_name if by else "the studio"
    return Space.objects.create(
        client=client,
        name=name,
        document=SPACE.write(document),
        measured_by=measured_by,
        measured_on=timezone.localdate(),
        by=by,
    )


def _start(
    by: User | None,
    now: datetime,
    *,
    terms: Terms,
    designs: tuple[lattice.Design, ...],
    said: str,
    next_in_days: int,
    **columns: Any,
) -> Commission:
    """The next step is due so many days after that of loading."""
    today = timezone.localdate(now)
    commission = Commission.objects.create(
        terms=TERMS.write(terms), next_step_on=today + timedelta(days=next_in_days), by=by, **columns
    )
    write_entry(commission, said, by, at=now)
    rates, _book = current_book(today)
    for letter, design in zip(LETTERS, designs, strict=False):
        option = Option(commission=commission, letter=letter, design=DESIGN.write(design), rate_book=rates)
        reprice(option, today)
        option.save()
        note_change(option, design, by)
    return commission


def _propose_to_the_clinic(commission: Commission, by: User | None, now: datetime) -> None:
    issue = issue_proposal(commission, ("A", "B", "C"), by, now)
    question = "Could the blue of option A be quieter? And how do we dust it?"
    keep_message(issue.links.get(), question)


def _approve_by_the_school(commission: Commission, by: User | None, now: datetime) -> None:
    issue = issue_proposal(commission, ("A", "B"), by, now)
    answer = Reply(
        answer="approved",
        letter="B",
        who="I. Fenwright (invented), bursar",
        authority="says: I may order this for Osier Quay Music School",
        how="page",
        seal=issue.seal,
        said_on=timezone.localdate(now),
        ready_on=promises_of(read(issue).figures)["B"].ready_on,
    )
    decide(issue, answer, now, link=issue.links.get(), evidence={"invented": True})
