"""The page on which days of delivery and hanging are agreed, moved and called off, and written about."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.loader import render_to_string
from django.utils import timezone

from studio.commissions.access import get_commission_or_404
from studio.commissions.models import Commission
from studio.document import parse
from studio.forms import Form, form_page
from studio.letters.shown import shown
from studio.people.audience import StudioRequest, audience
from studio.problem import Conflict, refuse_all
from studio.proposals.appointments import Agreed, agree, call_off, letter_about, visits_of
from studio.proposals.job_letters import about_jobs, letter_problems, write_about
from studio.proposals.models import Appointment, Decision
from studio.proposals.shown import voice_in
from studio.proposals.stored import Stored, read
from studio.proposals.telling import tell
from studio.proposals.views import get_sold_or_404
from studio.voice import Voice
from studio.workshop.books import the_studio, voice_of

__all__ = ["appointments", "off", "write"]


@audience("designer", "GET")
def appointments(request: StudioRequest, public_id: str) -> HttpResponse:
    return _page(request, get_commission_or_404(public_id))


@audience("designer", "POST")
def agreed(request: StudioRequest, public_id: str) -> HttpResponse:
    def act(yes: Decision, posted: Form) -> str:
        given = parse(Agreed, posted.document("visit.", ("from_time",)))
        return f"{agree(yes, given, request.user, timezone.now()).in_words(_voice())} is written down."

    return _done(request, public_id, act)


@audience("designer", "POST")
def off(request: StudioRequest, public_id: str) -> HttpResponse:
    def act(yes: Decision, posted: Form) -> str:
        seen, why = posted.number("seen"), posted["why"]
        made = call_off(yes, posted["what"], seen, why, request.user, timezone.now())
        return f"{made.get_what_display()} is called off."

    return _done(request, public_id, act)


@audience("designer", "POST")
def write(request: StudioRequest, public_id: str) -> HttpResponse:
    """The letter about an appointment that stands, once."""

    def act(yes: Decision, posted: Form) -> str:
        row = get_object_or_404(Appointment, decision__proposal__commission=yes.proposal.commission_id,
                                pk=posted.number("row"))  # fmt: skip
        if row not in visits_of(yes.proposal.commission):
            raise Conflict.because("words", "it was moved or called off meanwhile", "look at what stands now")
        stored = read(yes.issue)
        day = voice_in(stored.figures).day(row.day) if row.day else ""
        refuse_all(letter_problems(yes, posted["words"], "words", day))
        write_about(yes, stored, letter_about(row), posted["words"], request.user, timezone.now())
        tell(yes.issue, f"a letter about the {row.what} was written", request.user, timezone.now())
        return "The letter is written."

    return _done(request, public_id, act)


def _done(request: StudioRequest, public_id: str, act: Callable[[Decision, Form], str]) -> HttpResponse:
    commission, posted = get_commission_or_404(public_id), Form.posted(request)
    fields = "visit" if "visit.day" in posted.values else ""
    form, told = posted.attempt(lambda: act(get_sold_or_404(commission), posted), fields)
    if told is None:
        return _page(request, get_commission_or_404(public_id), form)
    messages.success(request, told)
    return redirect("proposals:appointments", public_id)


def _page(request: StudioRequest, commission: Commission, posted: Form | None = None) -> HttpResponse:
    yes = get_sold_or_404(commission)
    rows = Appointment.objects.filter(decision__proposal__commission=commission).select_related("by")
    stored, release = read(yes.issue), getattr(yes, "release", None)
    standing_now, typed = visits_of(commission), dict(posted.values) if posted else {}
    names = ("day", "from_time", "whom", "note")
    first = {"visit.what": "hanging", **{f"visit.{name}": "" for name in names}}
    now = {"visit.sold": yes.issue.public_id, "visit.seen": str(len(rows))}
    form = Form({**first, **typed, **now}, posted.problems if posted else ())
    return form_page(
        request,
        "proposals/appointments.html",
        form,
        voice=_voice(),
        commission=commission,
        yes=yes,
        ready_on=release.final_on if release else yes.agreed_on,
        standing=[(row, row.in_words(_voice()), _words(row, yes, stored, typed)) for row in standing_now],
        earlier=[row for row in rows if row not in standing_now],
        seen=len(rows),
        whats=Appointment.What.choices,
        open=commission.stage in (Commission.Stage.APPROVED, Commission.Stage.MAKING),
        letters=shown(about_jobs([yes.issue]), timezone.now()),
        email="" if yes.issue.client.erased_at else yes.issue.client.email,
    )


def _words(row: Appointment, yes: Decision, stored: Stored, typed: dict[str, str]) -> str:
    if typed.get("row") == str(row.pk) and "words" in typed:
        return typed["words"]
    words = {
        "what": row.in_words(voice_in(stored.figures)),
        "parties": stored.parties,
        "studio": the_studio(),
        "client": yes.issue.client,
    }
    return render_to_string("proposals/appointment.txt", words)


def _voice() -> Voice:
    return voice_of(the_studio())
