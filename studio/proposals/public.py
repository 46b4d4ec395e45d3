"""The client's side: one issue, read and answered by whoever holds its link. No cookie, no script.

These views are exempt from the CSRF check: nothing rides on a cookie here. The token in the address is the
only right there is, and a foreign page does not know it. It also lets the pages send no referrer at all.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any

from axes.helpers import get_client_ip_address
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_POST

from studio.commissions.locks import locked_commission
from studio.forms import status_of
from studio.people.audience import audience
from studio.problem import Conflict, Refused
from studio.proposals.appointments import visits_of
from studio.proposals.days import days_shown
from studio.proposals.deciding import decide, standing_of
from studio.proposals.models import Link
from studio.proposals.newest import newest_yes
from studio.proposals.others import of_the_others
from studio.proposals.shown import voice_in
from studio.proposals.standing import Reply, why_closed
from studio.proposals.stored import drawings_of, read
from studio.proposals.telling import keep_message, messages_by
from studio.proposals.views import day_read, pdf_response
from studio.voice import Voice
from studio.workshop.clock import today

MESSAGES_PER_LINK = 20
LONGEST_MESSAGE = 4000

View = Callable[..., HttpResponse]


def private(view: View) -> View:
    """Kept by no cache, no search engine, no referrer."""

    @wraps(view)
    def wrapped(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        answer = view(request, *args, **kwargs)
        answer["Cache-Control"] = "private, no-store"
        answer["X-Robots-Tag"] = "noindex, nofollow"
        answer["Referrer-Policy"] = "no-referrer"
        return answer

    return audience("client's link")(csrf_exempt(wrapped))


def get_link_or_404(token: str) -> Link:
    links = Link.objects.select_related("issue__proposal__commission").defer("issue__making", "issue__costs")
    return get_object_or_404(links, token=token)


@private
@require_GET
def page(request: HttpRequest, token: str) -> HttpResponse:
    return _page(request, get_link_or_404(token))


@private
@require_GET
def pdf(request: HttpRequest, token: str) -> HttpResponse:
    link = get_link_or_404(token)
    return pdf_response(link.issue) if _opens(link) else _page(request, link)


@private
@require_POST
def answer(request: HttpRequest, token: str) -> HttpResponse:
    link = get_link_or_404(token)
    try:
        decide(
            link.issue, _answer(request.POST), timezone.now(), link=link, evidence=_evidence(request, link)
        )
    except Refused as refused:
        return _page(request, link, refused)
    return redirect("public:proposal-page", token)


@private
@require_POST
def message(request: HttpRequest, token: str) -> HttpResponse:
    link = get_link_or_404(token)
    try:
        _keep_message(token, request.POST.get("text", "").strip())
    except Refused as refused:
        return _page(request, link, refused)
    return redirect("public:proposal-page", token)


def _opens(link: Link) -> bool:
    """Whether the link still shows its issue at all."""
    return link.revoked_at is None and link.issue.state == "issued" and link.issue.parties is not None


def _answer(post: Any) -> Reply:
    name, behalf = post.get("who", ""), post.get("behalf", "").strip()
    authority = f"says: I may order this{f' for {behalf}' if behalf else ''}" if post.get("may_order") else ""
    return Reply(
        answer=post.get("answer", ""),
        letter=post.get("letter", ""),
        who=name,
        authority=authority,
        how="page",
        seal=post.get("seal", ""),
        said_on=today(),
        reason=post.get("reason", ""),
        ready_on=day_read(post, post.get("letter", "")),
    )


def _evidence(request: HttpRequest, link: Link) -> dict[str, Any]:
    return {
        "link": link.pk,
        "address": get_client_ip_address(request) or "",
        "browser": request.headers.get("User-Agent", "")[:300],
    }


@transaction.atomic
def _keep_message(token: str, text: str) -> None:
    locked_commission(get_link_or_404(token).issue.proposal.commission_id)
    link = get_link_or_404(token)  # nobody erases the client meanwhile
    if not _opens(link):
        raise Conflict.because("text", "this link is closed", "write or call the studio")
    if not text:
        raise Refused.because("text", "nothing is written", "type your question or wish")
    if len(text) > LONGEST_MESSAGE:
        raise Refused.because("text", f"this text has {len(text)} characters", f"at most {LONGEST_MESSAGE}")
    if messages_by(link).count() >= MESSAGES_PER_LINK:
        raise Refused.because(
            "text", f"{MESSAGES_PER_LINK} messages were sent by this link", "call the studio"
        )
    keep_message(link, text)


def _page(request: HttpRequest, link: Link, refused: Refused | None = None) -> HttpResponse:
    stored, problems = read(link.issue), refused.problems if refused else ()
    if not _opens(link):
        context = {"issue": link.issue, "sheet": stored.sheet, "parties": stored.parties}
        return render(request, "proposals/public/closed.html", context, status=410)
    standing, drawings = standing_of(link.issue, stored, link), drawings_of(link.issue, stored)
    decision, closed = getattr(link.issue, "decision", None), why_closed(standing, today())
    days = days_shown(link.issue, stored, None if closed else today())
    voice = voice_in(stored.figures)
    sold = newest_yes(link.issue.proposal.commission) if decision else None
    stands = sold is not None and sold == decision and not hasattr(sold, "cancellation")
    agreed = days.get(sold.letter) if sold and stands else None
    context = {
        "issue": link.issue,
        "voice": voice,
        "token": link.token,
        "sheet": stored.sheet,
        "parties": stored.parties,
        "options": [(o, drawings[o.letter], days[o.letter]) for o in stored.sheet.options],
        "decision": decision,
        "said": standing.decided,
        "agreed": agreed,
        "visits": _visits(link, voice) if agreed else [],
        "others": of_the_others(link.issue, decision, voice_in(stored.figures)),
        "closed": closed,
        "problems": {problem.field: problem for problem in problems},
        "typed": request.POST,
        "told": messages_by(link),
    }
    return render(request, "proposals/public/page.html", context, status=status_of(problems))


def _visits(link: Link, voice: Voice) -> list[str]:
    return [row.in_words(voice) for row in visits_of(link.issue.proposal.commission)]
