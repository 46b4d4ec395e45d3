"""Forgetting a person: names, addresses, words and evidence go, figures and decisions stay."""

import logging
from datetime import datetime

from django.db import transaction
from django.db.models import Q

from studio.clients.erasing import client_erased
from studio.clients.models import Client, Photograph, Space
from studio.commissions.locks import locked_commission
from studio.commissions.models import Commission, Entry
from studio.commissions.variation import forget_words
from studio.letters.settling import empty_letters
from studio.people.models import User
from studio.proposals.booking import end_offers, forget_jobs
from studio.proposals.erasures import note_erasures
from studio.proposals.job_letters import about_jobs
from studio.proposals.models import Appointment, Cancellation, Decision, Link, ProposalIssue, Taping
from studio.proposals.sending import outbox_of
from studio.proposals.telling import issue_of

__all__ = ["ERASED", "erase_client"]

ERASED = "Erased"
"""Stands for a name or title."""


@transaction.atomic
def erase_client(client: Client, by: User | None, now: datetime) -> int:
    """Empty what is personal of `client`: the row itself, contacts, spaces, commissions, and every issue that
    was made for them, to whomever its commission belongs now. Returns the number of issues; the second time
    nothing is left to do."""
    concerned = Commission.objects.filter(Q(client=client) | Q(proposals__issues__client=client))
    keys = sorted(set(concerned.values_list("pk", flat=True)))
    for key in keys:
        locked_commission(key)  # nobody issues or decides meanwhile
    _empty_entries(client, keys)
    _empty_spaces(client)  # before the commissions, by which some are found
    _empty_commissions(client)
    _empty_client(client, now)
    _end_jobs(client, by)
    issues = _empty_issues(client, now)
    client_erased.send(Client, client=client)
    log = logging.getLogger("studio.proposals")
    log.warning("client %s was erased by user %s", client.public_id, by.pk if by else None)
    note_erasures()  # last: what is listed outside the database is done within
    return issues


def _empty_client(client: Client, now: datetime) -> None:
    client.contacts.all().delete()
    client.name, client.erased_at = ERASED, client.erased_at or now
    client.email = client.phone = client.address = client.notes = client.tax_number = ""
    client.save()


def _empty_entries(client: Client, commissions: list[int]) -> None:
    """A message goes with whom its issue was made for, everything else that was said with whose commission it
    is."""
    issues = ProposalIssue.objects.filter(proposal__commission__in=commissions)
    made_for = dict(issues.values_list("public_id", "client"))
    said = Entry.objects.filter(commission__in=commissions).exclude(kind=Entry.Kind.EVENT)
    theirs = [
        key
        for key, about, owner in said.values_list("pk", "about", "commission__client")
        if made_for.get(issue_of(about), owner) == client.pk
    ]
    Entry.objects.filter(pk__in=theirs).update(text=None, salt=None)


def _empty_spaces(client: Client) -> None:
    """Those of their commissions that are said to be nobody's, too."""
    found = Space.objects.filter(Q(client=client) | Q(client=None, commissions__client=client))
    emptied = Space.objects.filter(pk__in=found.values("pk"))
    Photograph.objects.filter(space__in=emptied).update(image=None)
    emptied.update(name=ERASED, notes="", typed={}, measured_by="")


def _empty_commissions(client: Client) -> None:
    for commission in client.commissions.all():
        commission.title, commission.next_step = ERASED, ""
        forget_words(commission, ERASED.lower())
        commission.save(update_fields=("title", "next_step", "terms", "before_variation"))


def _end_jobs(client: Client, by: User | None) -> None:
    """Nobody is left to say yes to what was offered. What is sold is made until it is called off: it keeps
    what it takes, without its name."""
    rows = ProposalIssue.objects.select_related("proposal__commission").only("public_id", "proposal")
    end_offers(rows.filter(client=client, state=ProposalIssue.State.ISSUED), by)
    open_issues = client.issues.filter(state=ProposalIssue.State.ISSUED, decision=None)
    open_issues.update(state=ProposalIssue.State.WITHDRAWN)
    forget_jobs(rows.filter(Q(client=client) | Q(proposal__commission__client=client)))


def _empty_issues(client: Client, now: datetime) -> int:
    of_client = {"issue__client": client}
    Link.objects.filter(**of_client, revoked_at=None).update(revoked_at=now)
    empty_letters(outbox_of(client.issues.all()), now)
    empty_letters(about_jobs(client.issues.only("public_id")), now)
    Decision.objects.filter(**of_client).update(person=None)
    Appointment.objects.filter(decision__issue__client=client).update(whom=None, note=None)
    Cancellation.objects.filter(decision__issue__client=client).update(who=None, why=None)
    Taping.objects.filter(decision__issue__client=client).update(who=None)
    return ProposalIssue.objects.filter(client=client).update(parties=None, pdf=None)
