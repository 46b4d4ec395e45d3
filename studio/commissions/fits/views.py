"""The fits of an option's opening, side by side."""

from django.http import HttpResponse
from django.shortcuts import redirect, render

from studio.commissions.access import get_option_or_404
from studio.commissions.estimating import Stale
from studio.commissions.fits.page import fits_page, range_form, read_range, take_fit
from studio.forms import Form
from studio.people.audience import StudioRequest, audience
from studio.problem import Problem, Refused
from studio.workshop.clock import today

__all__ = ["fits"]


@audience("designer", "GET", "POST")
def fits(request: StudioRequest, public_id: str, letter: str) -> HttpResponse:
    """The table for a range of cell sides, asked by address; taking a fit is posted to the same address."""
    found, status, stale = get_option_or_404(public_id, letter), 200, False
    not_taken: tuple[Problem, ...] = ()
    if request.method == "POST":
        try:
            take_fit(found, Form.posted(request), request.user, today())
            return redirect("option", public_id, found.letter)
        except Stale:
            found, status, stale = get_option_or_404(public_id, letter), 409, True
        except Refused as refused:
            not_taken, status = refused.problems, 422
    asked = {name: str(request.GET[name]) for name in request.GET}
    typed = range_form(found, asked)
    form, sides = typed.attempt(lambda: read_range(typed))
    if form.problems and not stale:
        status = 422
    page = {**fits_page(found, form, sides), "stale": stale, "not_taken": not_taken}
    return render(request, "commissions/fits/fits.html", page, status=status)
