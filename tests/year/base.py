"""The simulated studio: its clock, its agenda, its calendar and shelf, and what troubles it."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from random import Random

from django.utils import timezone

from studio.commissions.models import Commission
from studio.forms import Form
from studio.people.models import User
from studio.proposals.models import ProposalIssue
from studio.workshop.books import current_book, save_book
from studio.workshop.calendar_form import add_line, calendar_form, save_calendar
from tests.workshop.set_up import set_up
from tests.year.floor import Floor, Job, next_worked
from tests.year.shelf import Shelf

__all__ = ["COLOURS", "DAY", "Kept", "Sold", "Studio"]

HOURS = 2.0
"""What people give to making on a working day: some twenty jobs a year keep them busy half the time."""
PRINTERS = {"Small bed": 1, "Large bed": 1}
COLOURS = ("Tea", "Indigo", "Chalk", "Walnut", "Moss")
DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Kept:
    """What was promised of a job, and when it was ready."""

    title: str
    agreed_on: date | None
    agreed_days: int
    final_on: date
    ready_on: date

    @property
    def held(self) -> bool:
        return self.ready_on <= self.final_on


@dataclass
class Sold:
    """A commission from its yes on, which `waits` for deposit and colours. `site_left` are minutes of work on
    site that are still to be done."""

    commission: Commission
    waits: set[str] = field(default_factory=set)
    job: Job | None = None
    ready_on: date | None = None
    site_left: float = 0.0


@dataclass
class Studio:
    seed: int
    by: User
    on: date
    set_clock: Callable[[datetime], None]
    rings_a_day: float = 60 / 252
    kept: list[Kept] = field(default_factory=list)
    sold: dict[int, Sold] = field(default_factory=dict)
    agenda: dict[date, list[Callable[[], object]]] = field(default_factory=dict)
    receipts: dict[str, int] = field(default_factory=dict)
    """What each yes was to pay, in minor units, by the token of its page."""
    enquiries: int = 0
    yeses: int = 0
    conflicts: int = 0
    asked: list[ProposalIssue] = field(default_factory=list)
    stood: list[tuple[str, date]] = field(default_factory=list)
    """Printers that stood still for seven days, from a day on."""
    booked_twice: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.luck = Random(f"clients of {self.seed}")
        self.at(8)
        set_up()
        book = current_book(self.on)[1]
        printers = tuple(replace(each, count=PRINTERS[each.name]) for each in book.printers)
        save_book(replace(book, printers=printers), self.by, self.on)
        self.hours, self.out = HOURS, dict[str, int]()
        self.calendar(people_hours_per_day=str(HOURS))
        workshop = Random(f"workshop of {self.seed}")
        self.floor = Floor(workshop, PRINTERS, book.failures_per_hour, swap_minutes=10)
        self.shelf = Shelf(self.by)
        for colour in COLOURS:
            self.shelf.put(colour)

    def at(self, hour: int) -> None:
        self.set_clock(timezone.make_aware(datetime.combine(self.on, time(hour, 7))))

    def later(self, days: int, act: Callable[[], object], worked: bool = False) -> None:
        """On a day to come, or the first after it that is worked."""
        day = self.on + days * DAY
        self.agenda.setdefault(next_worked(day) if worked else day, []).append(act)

    def open(self) -> list[Sold]:
        over = (Commission.Stage.HANDED_OVER, Commission.Stage.CANCELLED)
        now = Commission.objects.in_bulk(self.sold)
        for pk, each in self.sold.items():
            each.commission = now[pk]
        return [each for each in self.sold.values() if each.commission.stage not in over]

    def calendar(self, **changed: str) -> None:
        book = current_book(self.on)[1]
        save_calendar(Form({**calendar_form(book).values, **changed}), self.by, book)

    def expect_troubles(self, days: int) -> None:
        """Two illnesses a year, and one week in which a printer stands still."""
        for _illness in range(round(days / 180)):
            self.later(self.luck.randrange(1, days), self.fall_ill, worked=True)
        for _failure in range(round(days / 365)):
            self.later(self.luck.randrange(1, days), self.stand_still, worked=True)

    def fall_ill(self) -> None:
        self.hours = HOURS / 2
        self.calendar(people_hours_per_day=str(self.hours))
        self.later(self.luck.randrange(3, 11), self.get_well, worked=True)

    def get_well(self) -> None:
        self.hours = HOURS
        self.calendar(people_hours_per_day=str(self.hours))

    def stand_still(self) -> None:
        printer, book = self.luck.choice(sorted(PRINTERS)), current_book(self.on)[1]
        form = add_line(calendar_form(book), "out_of_service", book)
        line = next(name.rpartition(".")[0] for name in form.values if name.endswith(".why"))
        row = {"printer": printer, "from_day": str(self.on), "to_day": str(self.on + 6 * DAY)}
        save_calendar(
            Form({**form.values, **{f"{line}.{name}": text for name, text in row.items()}}), self.by, book
        )
        self.out = {printer: 1}
        self.stood.append((printer, self.on))
        self.later(7, self.repaired)

    def repaired(self) -> None:
        self.out = {}
