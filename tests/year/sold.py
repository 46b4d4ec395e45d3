"""What follows a yes in the simulated studio, up to the hand-over."""

from collections.abc import Mapping
from datetime import timedelta
from decimal import Decimal
from math import ceil
from typing import Any

from django.utils import timezone

from studio.clients.models import Space
from studio.commissions.closed import is_varied
from studio.commissions.enquiry.about import about_form, save_about
from studio.commissions.models import Commission
from studio.document import parse
from studio.forms import Form, flat
from studio.ids import new_public_id
from studio.jobs.agreed import agreed_of
from studio.jobs.facts import Approval, approve_colours, facts_of
from studio.jobs.invoicing import credit, invoice
from studio.jobs.models import Invoice
from studio.jobs.paying import Received, paid_of, receive
from studio.jobs.releasing import Released, final_words, release_sold
from studio.money import from_minor, to_minor
from studio.proposals.appointments import Agreed, agree, visits_of
from studio.proposals.booking import VAN, amounts_of, booked_job, rebook
from studio.proposals.issuing import issue_proposal
from studio.proposals.models import Appointment, Decision
from studio.proposals.newest import newest_yes
from studio.proposals.refit import making_of_refit, untaped
from studio.proposals.selling import begin_variation, cancel
from studio.proposals.stored import making_of, read
from studio.proposals.takes import Taken
from studio.proposals.taping import Taped, WordNeeded, tape
from studio.stored.kinds import SPACE
from studio.workshop.bookings import booked
from studio.workshop.books import current_book
from tests.year.base import COLOURS, DAY, Kept, Sold
from tests.year.clients import Clients
from tests.year.floor import Job, Plate, next_worked

__all__ = ["SoldJobs"]

SPREAD = 0.25
"""As the calendar has it: what labour takes strays by so much."""


class SoldJobs(Clients):
    def after_the_yes(self, yes: Decision) -> None:
        """The deposit dawdles now and then; samples take their days."""
        commission, first = yes.proposal.commission, yes.proposal.place == 1
        self.look_what_is_missing(yes)
        if first:
            point = self.on if agreed_of(yes).deposit_is_tax_point else None
            invoice(yes, 1, self.by, timezone.now(), tax_point=point)
        if untaped(yes, read(yes.issue)):
            self.later(2, lambda: self.tape(commission), worked=True)
        fate = self.luck.random()
        if first and fate < 0.04:
            self.later(3, lambda: self.call_off(commission))
        elif first and fate < 0.14:
            self.later(1, lambda: self.vary(commission), worked=True)
        dawdles = self.luck.random()
        days = self.luck.randrange(1, 9) if dawdles < 0.7 else self.luck.randrange(9, 30)
        self.later(days, lambda: self.pay_deposit(commission), worked=True)
        self.later(self.luck.randrange(5, 13), lambda: self.choose_colours(commission), worked=True)

    def call_off(self, commission: Commission) -> None:
        cancel(commission, "Somebody invented", "no room", Decimal(0), self.by, timezone.now())

    def vary(self, commission: Commission) -> None:
        begin_variation(commission, self.by, timezone.now())
        commission.refresh_from_db()
        letter = commission.approved_letter
        self.say(commission, letter, **{"design.arrangement.border.filament": self.luck.choice(COLOURS)})
        made = issue_proposal(commission, (letter,), self.by, timezone.now())
        self.later(self.luck.randrange(1, 5), lambda: self.asked.append(made))

    def tape(self, commission: Commission) -> None:
        yes = self.yes_of(commission)
        if yes is None or is_varied(commission) or not untaped(yes, read(yes.issue)):
            return
        space = SPACE.read(Space.objects.get(pk=commission.space_id).document)
        out = self.luck.randrange(-8, 5)
        sizes = {"width": f"{space.widths_mm[0] + out} mm", "height": f"{space.heights_mm[0] + out} mm"}
        typed: dict[str, Any] = {"sold": yes.issue.public_id, **sizes, "taped_on": self.on}
        try:
            tape(commission, Taped(**typed), self.by, timezone.now())
        except WordNeeded as asked:
            price = asked.sent.estimate.price
            word = {"price_minor": to_minor(price.gross, price.currency), "who": "Somebody invented"}
            more = {**typed, **word, "how": "telephone", "said_on": self.on}
            tape(commission, Taped(**more), self.by, timezone.now())

    def yes_of(self, commission: Commission) -> Decision | None:
        """Of what is sold and not called off."""
        commission.refresh_from_db()
        return None if commission.stage == Commission.Stage.CANCELLED else newest_yes(commission)

    def sold_by(self, commission: Commission) -> Decision:
        yes = newest_yes(commission)
        assert yes is not None
        return yes

    def pay_deposit(self, commission: Commission) -> None:
        yes = self.yes_of(commission)
        if yes and (open_minor := facts_of(yes).open_minor):
            self.receive(yes, 1, open_minor)
            self.look_what_is_missing(yes)

    def look_what_is_missing(self, yes: Decision) -> None:
        """A deposit that came before a variation counts for it."""
        facts = facts_of(yes)
        deposit, colours = {"deposit"} if facts.open_minor else set(), set() if facts.colours else {"colours"}
        self.sold[yes.proposal.commission_id].waits = deposit | colours

    def receive(self, yes: Decision, stage: int, minor: int) -> None:
        amount = from_minor(minor, yes.currency)
        given = Received(key=new_public_id(), stage=stage, amount=amount, received_on=self.on)
        receive(yes, given, self.by, timezone.now())

    def choose_colours(self, commission: Commission) -> None:
        yes = self.yes_of(commission)
        if yes and facts_of(yes).colours is None:
            given = {"sold": yes.issue.public_id, "approved_on": self.on, "who": "Somebody invented"}
            approve_colours(yes, parse(Approval, {**given, "how": "samples"}), self.by, timezone.now())
            self.look_what_is_missing(yes)

    def release_if_it_can(self, sold: Sold) -> None:
        if sold.job or sold.waits or is_varied(sold.commission):
            return
        commission, yes = sold.commission, self.sold_by(sold.commission)
        facts, stored = facts_of(yes), read(yes.issue)
        if facts.missing or facts.final_on is None or untaped(yes, stored):
            return
        heard = "" if facts.final_on == yes.agreed_on else self.luck.choice(("letter", "nothing"))
        words = final_words(yes, facts, stored) if heard == "letter" else ""
        given = {"final_on": facts.final_on, "seen": facts.seen, "sold": yes.issue.public_id}
        release_sold(commission, Released(**given, heard=heard, words=words), self.by, timezone.now())  # type: ignore[arg-type]
        self.begin(sold, self.sold_by(commission))

    def begin(self, sold: Sold, yes: Decision) -> None:
        making, labour = (
            self.making(yes),
            dict.fromkeys(("before", "making", "after", "site", "printing"), 0.0),
        )
        for row in making["labour"]:
            labour[row["stage"]] += float(row["minutes"])
        planned = {"before": labour["before"], "after": labour["making"] + labour["after"]}
        names = ("printer", "filament", "minutes", "mass_g")
        sold.job = Job(
            name=sold.commission.title,
            order=yes.pk,
            plates=[Plate(**{name: row[name] for name in names}) for row in making["plates"]],
            before=self.floor.stretched(planned["before"], SPREAD),
            after=self.floor.stretched(planned["after"], SPREAD),
            comes=self.on + timedelta(days=self.lead_days({row["code"] for row in making["bought"]})),
        )
        sold.site_left = labour["site"]
        self.floor.jobs.append(sold.job)
        if labour["site"]:
            self.visit(sold, yes, yes.release.final_on + DAY)

    def making(self, yes: Decision) -> Mapping[str, Any]:
        taping = getattr(yes, "taping", None)
        if taping and taping.making:
            return making_of_refit(taping)
        found = making_of(yes.issue, read(yes.issue))
        assert found is not None
        return found[yes.letter]

    def lead_days(self, codes: set[str]) -> int:
        """Of what is bought for the panel; what is needed on site comes until then."""
        bought = current_book(self.on)[1].bought
        inside = [each for each in bought if each.group not in ("delivery", "hanging")]
        return max((each.lead_days for each in inside if f"bought.{each.code}" in codes), default=0)

    def needed(self) -> dict[str, float]:
        """Grams that are still to be printed."""
        found: dict[str, float] = {}
        for job in self.floor.jobs:
            for plate in job.plates:
                found[plate.filament] = found.get(plate.filament, 0) + plate.mass_g
        return found

    # --- on site

    def visit(self, sold: Sold, yes: Decision, earliest: Any) -> None:
        """The first days on which the van is free."""
        days, day = ceil(amounts_of(yes).get(VAN, 0) / 100), next_worked(earliest)
        taken = {name for kind, name in booked(self.on).taken if kind == "van days"}
        while taken & {str(each) for each in self.worked_days(day, days)}:
            day = next_worked(day + DAY)
        rows = Appointment.objects.filter(decision__proposal__commission=sold.commission).count()
        given = {"what": "hanging", "day": day, "sold": yes.issue.public_id, "seen": rows}
        agree(yes, parse(Agreed, given), self.by, timezone.now())

    def worked_days(self, day: Any, count: int) -> list[Any]:
        found = [day]
        while len(found) < count:
            found.append(next_worked(found[-1] + DAY))
        return found

    def work_on_site(self) -> float:
        """Minutes of today that go to hanging panels; what is not ready by then gets another day."""
        for sold in [each for each in self.open() if each.job and each.site_left]:
            visits = visits_of(sold.commission)
            if not (visits and visits[0].day and visits[0].day <= self.on):
                continue
            if sold.ready_on is None or sold.ready_on > self.on:
                self.visit(sold, self.sold_by(sold.commission), self.on + 4 * DAY)
            elif sold.site_left > 0:
                done = min(sold.site_left, 60 * self.hours)
                sold.site_left -= done
                if not sold.site_left:
                    self.later(1, lambda sold=sold: self.hand_over(sold), worked=True)  # type: ignore[misc]
                return done
        return 0.0

    # --- in the workshop

    def look_after(self, sold: Sold) -> None:
        """In the evening: what is made is written down, once a week what is left of the others."""
        job = sold.job
        if job is None or sold.ready_on or not (job.made_on or self.on.isoweekday() == 1):
            return
        yes = self.sold_by(sold.commission)
        if job.made_on:
            sold.ready_on = next_worked(job.made_on + DAY)
            final = yes.release.final_on
            self.kept.append(
                Kept(sold.commission.title, yes.agreed_on, yes.agreed_days or 0, final, sold.ready_on)
            )
            if not sold.site_left:
                self.later(1, lambda: self.hand_over(sold), worked=True)
        self.write_down_what_is_left(sold, yes)

    def write_down_what_is_left(self, sold: Sold, yes: Decision) -> None:
        booking, job = booked_job(yes.issue), sold.job
        assert booking is not None
        assert job is not None
        waiting = [*job.plates, *(unit.on[1] for unit in self.floor.units if unit.on and unit.on[0] is job)]
        left = {}
        for (kind, name), hundredths in amounts_of(yes).items():
            whole = [Plate(**{n: row[n] for n in ("printer", "filament", "minutes", "mass_g")})
                     for row in self.making(yes)["plates"]]  # fmt: skip
            share = _share(kind, name, job, waiting, whole)
            if (kind, name) == VAN and VAN not in booking.amounts:
                share = 0
            if taken := round(hundredths * share):
                left[kind, name] = taken
        typed = {**Taken.values(left), "steps": str(booking.steps), "state": "released"}
        rebook(yes.issue, parse(Taken, Form(flat(typed, "takes")).document("takes.")), self.by)

    def hand_over(self, sold: Sold) -> None:
        commission = sold.commission
        yes = self.sold_by(commission)
        agreed = agreed_of(yes)
        before = Invoice.objects.filter(decision__proposal__commission=commission, kind="invoice")
        for earlier in before.exclude(decision=yes).filter(credited_by=None):
            credit(earlier, self.by, timezone.now())
        for row in paid_of(yes).stages:
            if not row.invoiced_minor and row.stage.taxes:
                point = self.on if agreed.deposit_is_tax_point else None
                invoice(yes, row.stage.place, self.by, timezone.now(), tax_point=point)
        for row in paid_of(yes).stages:
            due = min(row.open_minor, paid_of(yes).open_minor)
            if due > 0:
                self.receive(yes, row.stage.place, due)
        commission.refresh_from_db()
        form = about_form(commission).values
        save_about(Form({**form, "stage": Commission.Stage.HANDED_OVER}), commission, self.by)


def _share(kind: str, name: str, job: Job, waiting: list[Plate], whole: list[Plate]) -> float:
    """Which part of a booked amount is still to come."""

    def left(of: Any, where: Any = lambda _plate: True) -> float:
        return sum(of(p) for p in waiting if where(p)) / (sum(of(p) for p in whole if where(p)) or 1)

    if kind == "printer minutes":
        return left(lambda plate: plate.minutes, lambda plate: plate.printer == name)
    if kind == "grams":
        return left(lambda plate: plate.mass_g, lambda plate: plate.filament == name)
    if kind == "van days" or name == "site":
        return 1.0
    if name == "printing":
        return left(lambda _plate: 1.0)
    return job.left("before" if name == "before" else "after")
