"""The studio's side: issue, send, take back, write down what was said."""

from contextlib import suppress
from datetime import date
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from studio.clients.access import get_client_or_404
from studio.commissions.access import get_commission_or_404
from studio.commissions.closed import is_varied
from studio.commissions.locks import locked_commission
from studio.commissions.models import Commission
from studio.commissions.price_first import tax_words
from studio.forms import status_of
from studio.letters.states import State
from studio.people.audience import audience
from studio.people.models import User
from studio.problem import Conflict, Problem, Refused
from studio.proposals.before_issuing import missing
from studio.proposals.deciding import decide
from studio.proposals.erasing import erase_client
from studio.proposals.issuing import issue_proposal, withdraw_issue
from studio.proposals.listing import choices_of, issue_rows
from studio.proposals.models import Decision, Link, ProposalIssue
from studio.proposals.newest import newest_yes
from studio.proposals.sending import live_link, send_issue, take_back_letters
from studio.proposals.sent import Ranging
from studio.proposals.sold_shown import sold_shown
from studio.proposals.standing import Reply
from studio.proposals.stored import pdf_of
from studio.workshop.books import the_studio, voice_of
from studio.workshop.clock import today


def get_issue_or_404(public_id: str) -> ProposalIssue:
    return get_object_or_404(
        ProposalIssue.objects.select_related("proposal__commission"), public_id=public_id
    )


def get_sold_or_404(commission: Commission) -> Decision:
    """The yes that says what is sold."""
    if (yes := newest_yes(commission)) is None:
        raise Http404("nothing is agreed yet")
    return yes


@audience("designer", "GET")
def for_commission(request: HttpRequest, public_id: str) -> HttpResponse:
    return proposal_page(request, get_commission_or_404(public_id))


@audience("designer", "POST")
def issue(request: HttpRequest, public_id: str) -> HttpResponse:
    commission = get_commission_or_404(public_id)
    letters, after = tuple(request.POST.getlist("letters")), seen(request.POST.get("after", ""))
    workings = bool(request.POST.get("workings"))
    try:
        made = issue_proposal(
            commission, letters, who_asks(request), timezone.now(), after=after, workings=workings, wait=False
        )
    except Ranging as ranging:
        return proposal_page(request, commission, letters=letters, ranging=ranging)
    except Refused as refused:
        return proposal_page(request, commission, refused, letters=letters)
    messages.success(request, f"Issue {made.number} of proposal {made.proposal.number} is made.")
    return redirect("proposals:for_commission", commission.public_id)


@audience("designer", "GET")
def pdf(request: HttpRequest, public_id: str) -> HttpResponse:
    issue = get_issue_or_404(public_id)
    return pdf_response(issue)


def pdf_response(issue: ProposalIssue) -> HttpResponse:
    """The stored bytes; 410 once the person is erased."""
    pdf = pdf_of(issue)
    if pdf is None:
        return HttpResponse("The PDF was erased together with its person's data.", status=410)
    name = f"proposal-{issue.proposal.number}-issue-{issue.number}.pdf"
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    answer["Cache-Control"] = "private, no-store"
    return answer


@audience("designer", "POST")
def send(request: HttpRequest, public_id: str) -> HttpResponse:
    issue = get_issue_or_404(public_id)
    link, after = live_link(issue), seen(request.POST.get("after", ""))
    try:
        if link is None:
            raise Refused.because("link", "this issue has no open link", "make a new link first")
        sender = who_asks(request)
        letter = send_issue(link, page_address(request, link), sender, timezone.now(), after).outbox
    except Refused as refused:
        return proposal_page(request, issue.proposal.commission, refused)
    letter.refresh_from_db(fields=("state",))
    said = "Sent" if letter.state == State.SENT else f"Now {letter.get_state_display()}: the letter"
    messages.success(request, f"{said} to {letter.receiver}.")
    return redirect("proposals:for_commission", issue.proposal.commission.public_id)


def page_address(request: HttpRequest, link: Link) -> str:
    return request.build_absolute_uri(reverse("public:proposal-page", args=(link.token,)))


@audience("designer", "POST")
def new_link(request: HttpRequest, public_id: str) -> HttpResponse:
    issue = get_issue_or_404(public_id)
    if issue.state == ProposalIssue.State.ISSUED and live_link(issue) is None:
        Link.objects.create(issue=issue)
    return redirect("proposals:for_commission", issue.proposal.commission.public_id)


@audience("designer", "POST")
def revoke(request: HttpRequest, public_id: str) -> HttpResponse:
    issue = get_issue_or_404(public_id)
    with transaction.atomic():
        locked_commission(issue.proposal.commission_id)  # no letter is written meanwhile
        issue.links.filter(revoked_at=None).update(revoked_at=timezone.now())
        take_back_letters(ProposalIssue.objects.filter(pk=issue.pk), timezone.now())
    messages.success(request, "The link no longer opens the proposal.")
    return redirect("proposals:for_commission", issue.proposal.commission.public_id)


@audience("designer", "POST")
def withdraw(request: HttpRequest, public_id: str) -> HttpResponse:
    issue = get_issue_or_404(public_id)
    if not withdraw_issue(issue, who_asks(request), timezone.now()):
        why = "it is decided or replaced already", "nothing needs to be withdrawn"
        return proposal_page(request, issue.proposal.commission, Conflict.because("issue", *why))
    messages.success(request, f"Issue {issue.number} is withdrawn.")
    return redirect("proposals:for_commission", issue.proposal.commission.public_id)


@audience("designer", "POST")
def record(request: HttpRequest, public_id: str) -> HttpResponse:
    issue = get_issue_or_404(public_id)
    try:
        decide(
            issue,
            _told(request.POST),
            timezone.now(),
            by=who_asks(request),
            evidence={"recorded_by": str(request.user)},
        )
    except Refused as refused:
        return proposal_page(request, issue.proposal.commission, refused, told=request.POST)
    messages.success(request, "The decision is written down.")
    return redirect("proposals:for_commission", issue.proposal.commission.public_id)


def seen(text: str) -> int:
    """How many issues or letters there were when the form was made; -1 when it does not say."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 9 else -1


@audience("owner", "GET", "POST")
def erase(request: HttpRequest, public_id: str) -> HttpResponse:
    """Only after the client's name was typed."""
    client = get_client_or_404(public_id)
    typed = request.POST.get("name", "")
    if request.method == "POST" and typed.split() == client.name.split():
        erase_client(client, who_asks(request), timezone.now())
        messages.success(request, "The client is erased.")
        return redirect("clients")
    problem = Problem("name", "this is not the client's name", "type it as it stands above")
    context = {"client": client, "issues": client.issues.count(), "typed": typed}
    if request.method == "GET":
        return render(request, "proposals/erase_client.html", context)
    return render(request, "proposals/erase_client.html", {**context, "problem": problem}, status=422)


def who_asks(request: HttpRequest) -> User | None:
    return request.user if isinstance(request.user, User) else None


def _told(post: Any) -> Reply:
    """The studio's note of what was said on the telephone or in writing."""
    choice = post.get("choice", "")
    how = post.get("how", "")
    if how not in ("telephone", "writing"):
        raise Refused.because("how", "it is not said how the client answered", "by telephone, or in writing")
    return Reply(
        answer="declined" if choice == "declined" else "approved",
        letter="" if choice == "declined" else choice,
        who=post.get("who", ""),
        authority=post.get("authority", ""),
        how=how,
        seal=post.get("seal", ""),
        said_on=read_day(post, "said_on"),
        reason=post.get("reason", ""),
        ready_on=day_read(post, choice),
    )


def day_read(post: Any, letter: str) -> date | None:
    """The day of being ready that the page named for the chosen option; None where it says no day."""
    with suppress(ValueError):
        return date.fromisoformat(post.get(f"ready_on_{letter}", ""))
    return None


def read_day(post: Any, name: str) -> date:
    text = post.get(name, "")
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Refused.because(name, f"found {text[:40]!r}", "a day such as 2026-03-31") from None


def _said_on(told: Any) -> date | None:
    """A form that is shown again names the days of the day of saying it, as `decide` counts them."""
    with suppress(ValueError):
        return date.fromisoformat(told.get("said_on", "")) if told else None
    return None


def proposal_page(
    request: HttpRequest,
    commission: Commission,
    refused: Refused | None = None,
    *,
    letters: tuple[str, ...] | None = None,
    told: Any = None,
    typed: Any = None,
    ranging: Ranging | None = None,
) -> HttpResponse:
    """`told` is what was typed of an answer, `typed` of what follows a yes, `ranging` what an issue waits
    for."""
    options = commission.options.select_related("rate_book", "commission")
    problems = refused.problems if refused else ()
    rows, voice = issue_rows(commission, today(), _said_on(told)), voice_of(the_studio())
    context = {
        "voice": voice,
        "commission": commission,
        "rows": [(row, page_address(request, row.link) if row.link else "") for row in rows],
        "issues": len(rows),
        "choices": choices_of(commission, voice, letters),
        "workings": bool(request.POST.get("workings")),
        "tax_words": tax_words(commission, options),
        "sold": sold_shown(commission, voice),
        "varied": is_varied(commission),
        "problems": problems,
        "ranging": ranging,
        "letters": letters,
        "missing": missing(commission, options, the_studio(), today()),
        "told": told,
        "typed": typed,
        "today": today().isoformat(),
    }
    return render(request, "proposals/for_commission.html", context, status=status_of(problems))
