"""The plain page on which what was sold is booked in the workshop, and its booking changed."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect

from studio.document import parse
from studio.forms import Form, flat, form_page
from studio.making.booked import FOLLOWS, Kind, State
from studio.people.audience import audience
from studio.people.models import User
from studio.problem import Conflict, Problem, refuse_all
from studio.proposals.booking import amounts_of, book, booked_job, rebook, yes_to
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.takes import BECOMES, Taken
from studio.voice import Voice, said
from studio.workshop.bookings import BookedJob
from studio.workshop.books import current_book, the_studio, voice_of
from studio.workshop.by_hand import typed_grams, typed_jobs
from studio.workshop.clock import today

__all__ = ["book_sold"]

FIELDS = "takes"


@audience("designer", "GET", "POST")
def book_sold(request: HttpRequest, public_id: str) -> HttpResponse:
    issues = ProposalIssue.objects.select_related("proposal__commission")
    issue = get_object_or_404(issues, public_id=public_id)
    if (decision := yes_to(issue)) is None:
        raise Http404
    if request.method == "GET":
        return _page(request, issue, decision, _first(issue, decision))
    posted = Form.posted(request)
    form, told = posted.attempt(lambda: _book(issue, posted, request.user), FIELDS)
    if told is None:
        return _page(request, issue, decision, form)
    messages.success(request, told)
    return redirect("proposals:for_commission", issue.proposal.commission.public_id)


def _book(issue: ProposalIssue, posted: Form, user: Any) -> str:
    taken, by = parse(Taken, posted.document(f"{FIELDS}.")), user if isinstance(user, User) else None
    if taken.state in ("firm", "released"):
        refuse_all(_unknown(taken))
    if taken.steps:
        rebook(issue, taken, by)
        return f"The booking is changed: {BECOMES[taken.state]}."
    try:
        book(issue, taken, by)
    except Conflict:
        job = booked_job(issue)
        if job is None or job.amounts != taken.amounts:  # not pressed twice: somebody else booked it
            raise
    return "The job is booked."


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


def _first(issue: ProposalIssue, decision: Decision) -> Form:
    """What is booked, or what the frozen figures tell; and the printers of today that they do not name."""
    job = booked_job(issue)
    values = Taken.values(job.amounts if job else amounts_of(decision))
    named = {row["name"] for row in values["printers"]}
    values["printers"] += [{"name": name, "hours": "0"} for name in _printers() if name not in named]
    stands = {"steps": job.steps if job else 0, "state": _next(job)}
    return Form(flat({**values, **stands}, FIELDS))


def _next(job: BookedJob | None) -> State:
    """What the page proposes: the state that it has, if it may have that again."""
    follow = FOLLOWS[job.state] if job else ()
    return job.state if job and job.state in follow else next(iter(follow), "firm")


def _page(request: HttpRequest, issue: ProposalIssue, decision: Decision, form: Form) -> HttpResponse:
    voice, job = voice_of(the_studio()), booked_job(issue)
    follow = FOLLOWS[job.state] if job else ()
    return form_page(
        request,
        "proposals/book.html",
        form,
        voice=voice,
        issue=issue,
        decision=decision,
        booked=job and BECOMES.get(job.state, job.state),
        states=[(state, BECOMES[state]) for state in follow],
        typed=[(f"{FIELDS}.replaces.{job.source}", _told(job, voice)) for job in typed_jobs()],
        typed_grams=typed_grams(),
    )


def _told(job: BookedJob, voice: Voice) -> str:
    kinds: dict[Kind, str] = {"printer minutes": "printing", "people minutes": "people’s work"}
    minutes = {what: job.total(kind) / 100 for kind, what in kinds.items()}
    hours = [f"{voice.hours(taken)} of {what}" for what, taken in minutes.items() if taken]
    return f"{job.words or 'A job without a name'}: {', '.join(hours) or 'no hours'}"
