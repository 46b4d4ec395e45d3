"""The workshop's patterns: those that come with the program, and the studio's own."""

from dataclasses import replace

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect

from studio.document import canonical
from studio.forms import Form, sentence
from studio.lattice.kinds import kinds
from studio.lattice.pattern import Pattern
from studio.lattice.patterns import patterns as patterns_of
from studio.lattice.verdict import USUAL_SIDE_MM
from studio.people.audience import StudioRequest, audience
from studio.problem import Problem, Refused
from studio.stored.door import Unreadable
from studio.voice import said
from studio.workshop.books import readable_book, the_studio, voice_of
from studio.workshop.clock import today
from studio.workshop.models import PatternRevision
from studio.workshop.own_patterns import add, checked, newest, pattern_in, readable_in, retire
from studio.workshop.pattern_facts import STRIPS_MM, facts, judged
from studio.workshop.pattern_file import text_in
from studio.workshop.views import workshop_page

__all__ = ["patterns", "retire_pattern"]

MOST_PROBLEMS = 12
"""A file can be wrong in thousands of places; the first ones are enough to mend it."""


@audience("designer", "GET", "POST")
def patterns(request: StudioRequest) -> HttpResponse:
    """All patterns. A file is sent first to be judged, then as a text to be stored."""
    form, offered = Form({"file": ""}), None
    try:
        if "document" in request.POST:
            added = add(request.POST["document"], request.user)
            messages.success(request, f"{pattern_in(added).name} is stored as revision {added.revision}.")
            return redirect("workshop-patterns")
        if request.method == "POST":
            offered = checked(_text_sent(request))
    except Refused as refused:
        form = form.refused(_of_the_file(refused))
    return _page(request, form, offered)


@audience("designer", "POST")
def retire_pattern(request: StudioRequest, slug: str) -> HttpResponse:
    last = PatternRevision.objects.filter(slug=slug).order_by("-revision").first()
    if last is None:
        raise Http404
    retire(slug, request.user)
    messages.success(
        request, f"{_name(last)} is retired: no new design can use it, those that have it keep it."
    )
    return redirect("workshop-patterns")


def _page(request: StudioRequest, form: Form, offered: Pattern | None) -> HttpResponse:
    rows = newest(retired=False).select_related("by").order_by("lattice", "slug")
    own = [(row, facts(found), _reasons(found)) for row in rows if (found := readable_in(row))]
    unread_rows = [(row, _why_unread(row)) for row in rows if not readable_in(row)]
    built_in = [
        (family, [facts(pattern) for pattern in patterns_of(family) if not pattern.is_open])
        for family in dict.fromkeys(kind.family for kind in kinds())
    ]
    shown = offered and {
        "facts": facts(offered),
        "reasons": judged(offered).reasons,
        "document": canonical(offered).decode(),
    }
    retired = [(row, _name(row)) for row in newest(retired=True).order_by("slug")]
    _revision, book, unread = readable_book(today())
    lists = {"own": own, "unread_rows": unread_rows, "retired": retired, "built_in": built_in}
    return workshop_page(
        request,
        "patterns",
        form,
        book,
        unread,
        **lists,
        offered=shown,
        strips=STRIPS_MM,
        usual_side=USUAL_SIDE_MM,
    )


def _name(row: PatternRevision) -> str:
    found = readable_in(row)
    return found.name if found else row.slug


def _why_unread(row: PatternRevision) -> str:
    try:
        pattern_in(row)
    except Unreadable as unreadable:
        voice = voice_of(the_studio())
        return " ".join(sentence(problem, voice) for problem in unreadable.problems[:MOST_PROBLEMS])
    return ""


def _reasons(pattern: Pattern) -> tuple[str, ...]:
    """The verdict in words; also where rules that are younger than the pattern refuse it."""
    try:
        return judged(pattern).reasons
    except Refused as refused:
        return tuple(said("{}: {}", each.reason, each.remedy) for each in refused.problems[:MOST_PROBLEMS])


def _text_sent(request: StudioRequest) -> str:
    sent = request.FILES.get("file")
    if sent is None:
        raise Refused.because("file", "no file was chosen", "choose a pattern file")
    return text_in(sent)


def _of_the_file(refused: Refused) -> Refused:
    """The problems beside the one field of the page, with the key in words."""
    told = [
        replace(problem, field="file", reason=said("in {}, {}", problem.field, problem.reason))
        if problem.field not in ("file", "document")
        else replace(problem, field="file")
        for problem in refused.problems[:MOST_PROBLEMS]
    ]
    if more := len(refused.problems) - len(told):
        told.append(Problem("file", f"{more} more such places were found", "mend these first"))
    return Refused(*told)
