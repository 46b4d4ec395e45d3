"""What clients of the simulated studio do, up to the yes."""

from abc import ABC, abstractmethod
from datetime import date

from django.utils import timezone

from studio.clients.details import form_of as client_form
from studio.clients.details import save_client
from studio.commissions.call.change import save_words
from studio.commissions.call.whole_form import form_of as words_of
from studio.commissions.enquiry.starting import start_commission
from studio.commissions.models import Commission, Option
from studio.commissions.option_set import add_option, undo
from studio.forms import Form
from studio.making.promised_day import PromisedDay
from studio.problem import Conflict, Refused
from studio.proposals.days import days_named
from studio.proposals.deciding import decide
from studio.proposals.holding import hold
from studio.proposals.issuing import issue_proposal, withdraw_issue
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.standing import Reply
from studio.proposals.stored import read
from studio.workshop.books import the_studio, voice_of
from tests.year.base import COLOURS, DAY, Sold, Studio

__all__ = ["Clients"]


class Clients(Studio, ABC):
    def telephone(self) -> None:
        while self.luck.random() < self.rings_a_day / (1 + self.rings_a_day):
            self.ring()

    def ring(self) -> None:
        self.enquiries += 1
        origin = "taped by us" if self.luck.random() < 0.9 else "taped by the client"
        said = {
            "space.widths_mm.0": f"{self.luck.randrange(260, 720, 20)} mm",
            "space.heights_mm.0": f"{self.luck.randrange(260, 560, 20)} mm",
            "space.width_origin": origin, "space.height_origin": origin,
            "where": "hall", "new_client": f"Invented client {self.seed}-{self.enquiries}",
        }  # fmt: skip
        commission = start_commission(Form(said), self.by, self.on)
        voice, client = voice_of(the_studio()), commission.client
        assert client is not None
        details = {"email": f"c{self.enquiries}@client.example", "address": "2 Mill Road"}
        save_client(Form({**client_form(client, voice).values, **details}), client, voice, self.by)
        self.later(self.luck.randrange(1, 5), lambda: self.talk(commission))

    def option(self, commission: Commission, letter: str) -> Option:
        found = Option.objects.select_related("commission__space", "rate_book")
        return found.get(commission=commission, letter=letter)

    def say(self, commission: Commission, letter: str, **words: str) -> None:
        form = words_of(self.option(commission, letter), the_studio()).values
        save_words(commission.public_id, letter, Form({**form, **words}), self.by, self.on)

    def talk(self, commission: Commission) -> None:
        """Options change; four of five get a proposal."""
        side = self.luck.choice(("36 mm", "44 mm", "50 mm", "60 mm"))
        delivery = self.luck.choice(("delivered and hung", "delivered and hung", "collected"))
        way = {"terms.distance_km": str(self.luck.randrange(2, 30)), "terms.delivery": delivery}
        try:
            self.say(commission, "A", **way, **{"design.cell_side_mm": side})
        except Refused:  # some panels are too narrow for that
            self.say(commission, "A", **way)
        if self.luck.random() < 0.2:
            self.say(commission, "A", **{"design.arrangement.border_cells": "1"})
            wrong = self.option(commission, "A")
            undo(wrong, wrong.revision, self.by, self.on)
        if self.luck.random() < 0.4:
            add_option(self.option(commission, "A"), self.by, self.on)
            colour = self.luck.choice(COLOURS)
            self.say(commission, "B", **{"design.arrangement.field.filament": colour})
        if self.luck.random() < 0.8:
            self.later(self.luck.randrange(1, 6), lambda: self.issue(commission), worked=True)

    def issue(self, commission: Commission) -> None:
        letters = tuple(commission.options.values_list("letter", flat=True))
        made = issue_proposal(commission, letters, self.by, timezone.now())
        fate, days = self.luck.random(), self.luck.randrange(1, 10)
        if fate < 0.1:  # a change is asked for, and another issue follows
            self.later(days, lambda: self.say(commission, "A", **{"design.lattice_filament": "Moss"}))
            self.later(days + 1, lambda: self.issue(commission), worked=True)
        elif fate < 0.5:
            if fate < 0.15:
                hold(made, self.on + 7 * DAY, 1, self.by, self.on)
            late = self.luck.random() < 0.3
            self.later(self.luck.randrange(12, 28) if late else days, lambda: self.asked.append(made))
        elif fate < 0.75:
            self.later(days, lambda: self.decline(made))
        elif fate < 0.8:
            self.later(days, lambda: withdraw_issue(made, self.by, timezone.now()), worked=True)

    def decline(self, issue: ProposalIssue) -> None:
        decide(issue, self.reply(issue, "declined", "", None), timezone.now(), link=issue.links.get())

    def reply(self, issue: ProposalIssue, answer: str, letter: str, ready_on: date | None) -> Reply:
        who = "Somebody invented", "says: I may order this"
        return Reply(answer, letter, *who, "page", issue.seal, self.on, ready_on=ready_on)

    def answers(self) -> None:
        """All who say yes on this morning have read their pages before the first has answered; now and then
        somebody waits for another who does."""
        if len(self.asked) == 1 and self.luck.random() < 0.5:
            return
        asked = [issue for issue in self.asked if self.on <= issue.valid_until]
        self.asked = []
        letters = {issue.pk: self.luck.choice(read(issue).letters) for issue in asked}
        named = {issue.pk: self.named(issue, letters[issue.pk]) for issue in asked}
        for issue in asked:
            self.accept(issue, letters[issue.pk], named[issue.pk])

    def named(self, issue: ProposalIssue, letter: str) -> date | None:
        day = days_named(issue, read(issue), self.on)[letter]
        return day.ready_on if isinstance(day, PromisedDay) else None

    def accept(self, issue: ProposalIssue, letter: str, ready_on: date | None) -> None:
        link = issue.links.get()
        try:
            yes = decide(issue, self.reply(issue, "approved", letter, ready_on), timezone.now(), link=link)
        except Conflict:  # another took the place a moment ago: the page is read again
            self.conflicts += 1
            again = self.reply(issue, "approved", letter, self.named(issue, letter))
            yes = decide(issue, again, timezone.now(), link=link)
        assert yes.gross_minor is not None
        self.yeses += 1
        self.receipts[link.token] = yes.gross_minor
        commission = issue.proposal.commission
        self.sold.setdefault(commission.pk, Sold(commission))
        self.after_the_yes(yes)

    @abstractmethod
    def after_the_yes(self, yes: Decision) -> None:
        """What is promised once somebody has said it."""
