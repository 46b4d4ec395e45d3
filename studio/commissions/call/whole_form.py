"""All the words of an option, as its page has them."""

from collections.abc import Mapping

from studio.clients.space_form import space_form
from studio.commissions.call.design_form import design_form, written_whole
from studio.commissions.call.meanwhile import as_read
from studio.commissions.call.single_cells import cell_form, marks
from studio.commissions.call.terms_form import terms_form
from studio.commissions.call.vocabulary import lattice_in
from studio.commissions.estimating import brief_of, design_of
from studio.commissions.models import Option
from studio.forms import Form
from studio.lattice.infills import infills_of
from studio.pricing.rate_book import RateBook
from studio.workshop.books import book_of, the_studio, voice_of
from studio.workshop.models import Studio
from studio.workshop.own_patterns import usable

__all__ = ["form_of", "priced_filaments", "whole_form"]


def form_of(option: Option, studio: Studio) -> Form:
    """An option's words with what its commission's options share."""
    brief = brief_of(option)
    voice = voice_of(studio)
    space = _with_units(space_form(option.commission.space, voice).values)
    words = Form(
        {
            **{name: text for name, text in space.items() if name.startswith("space.")},
            **design_form(brief.design, voice).values,
            **terms_form(brief.terms, voice).values,
            "terms.wanted_on": str(option.commission.wanted_on or ""),
        }
    )
    cell = cell_form(tuple(infills_of(brief.design).values())).values
    return Form(
        {**as_read(words).values, **cell, "cells": marks(brief.design), "revision": str(option.revision)}
    )


def whole_form(option: Option, form: Form) -> Form:
    """What was typed, with every field that a page made from it has."""
    saved, own = form_of(option, the_studio()).values, usable(lattice_in(form))
    return written_whole(form, saved, design_of(option), own, priced_filaments(book_of(option.rate_book)))


def _with_units(values: Mapping[str, str]) -> dict[str, str]:
    """Lengths that were typed as a number read as the millimetres that they are."""
    return {
        name: f"{text} mm" if "_mm" in name and text.replace(".", "", 1).isdecimal() else text
        for name, text in values.items()
    }


def priced_filaments(book: RateBook) -> list[str]:
    return [filament.name for filament in book.filaments if filament.price_per_spool is not None]
