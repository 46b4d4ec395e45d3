"""The plain page on which what was sold is booked in the workshop."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods

from studio.document import parse
from studio.forms import Form, flat, form_page
from studio.making.booked import Kind
from studio.people.audience import audience
from studio.people.models import User
from studio.problem import Problem, Refused, refuse_all
from studio.proposals.booking import amounts_of, book, booked_state, yes_to
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.standing import Conflict
from studio.proposals.takes import Taken
from studio.voice import Voice, said
from studio.workshop.bookings import BookedJob
from studio.workshop.books import current_book, the_studio, voice_of
from studio.workshop.by_hand import typed_grams, typed_jobs
from studio.workshop.clock import today

__all__ = ["book_sold"]

FIELDS = "takes"


@audience("designer")
@require_http_methods(["GET", "POST"])
def book_sold(request: HttpRequest, public_id: str) -> HttpResponse:
    issues = ProposalIssue.objects.select_related("proposal__commission")
    issue = get_object_or_404(issues, public_id=public_id)
    if (decision := yes_to(issue)) is None:
        raise Http404
    if request.method == "GET":
        return _page(request, issue, decision, _first(decision))
    form = Form.posted(request)
    try:
        _book(issue, form, request.user)
    except Conflict:
        pass  # pressed twice: it is booked once
    except Refused as refused:
        return _page(request, issue, decision, form.refused(refused.under(FIELDS)))
    messages.success(request, "The job is booked.")
    return redirect("proposals:for_commission", issue.proposal.commission.public_id)


def _book(issue: ProposalIssue, posted: Form, user: Any) -> None:
    taken = parse(Taken, posted.document(f"{FIELDS}."))
    refuse_all(_unknown(taken))
    book(issue, taken, user if isinstance(user, User) else None)


def _unknown(taken: Taken) -> list[Problem]:
    """Hours of printers that the studio does not have: no date could be told as long as they were booked."""
    known = _printers()
    return [
        Problem(
            f"printers.{index}.hours",
            said("no printer is called “{}” today", row.name),
            "0 here, and the hours at a printer that there is",
        )
        for index, row in enumerate(taken.printers)
        if row.hours and row.name not in known
    ]


def _printers() -> list[str]:
    return [printer.name for printer in current_book(today())[1].printers]


def _first(decision: Decision) -> Form:
    """What the frozen figures tell, and the printers of today that they do not name."""
    values = Taken.values(amounts_of(decision))
    named = {row["name"] for row in values["printers"]}
    values["printers"] += [{"name": name, "hours": "0"} for name in _printers() if name not in named]
    return Form(flat(values, FIELDS))


def _page(request: HttpRequest, issue: ProposalIssue, decision: Decision, form: Form) -> HttpResponse:
    voice = voice_of(the_studio())
    return form_page(
        request,
        "proposals/book.html",
        form,
        voice=voice,
        issue=issue,
        decision=decision,
        booked=booked_state(issue),
        typed=[(f"{FIELDS}.replaces.{job.source}", _told(job, voice)) for job in typed_jobs()],
        typed_grams=typed_grams(),
    )


def _told(job: BookedJob, voice: Voice) -> str:
    kinds: dict[Kind, str] = {"printer minutes": "printing", "people minutes": "people’s work"}
    minutes = {what: job.total(kind) / 100 for kind, what in kinds.items()}
    hours = [f"{voice.hours(taken)} of {what}" for what, taken in minutes.items() if taken]
    return f"{job.words or 'A job without a name'}: {', '.join(hours) or 'no hours'}"
