"""The call page: every change answers with what it changed, and nothing that was typed is lost."""

import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client as Browser

from studio.clients.models import Space
from studio.commissions.estimating import brief_of
from studio.commissions.models import Commission, Option
from studio.lattice.fit import best_fit
from studio.people.models import User
from studio.voice import PLAIN
from studio.workshop.books import current_book, save_book
from studio.workshop.clock import today
from tests.commissions.conftest import Words, start, undo

pytestmark = pytest.mark.one_engine

HTMX = {"HX-Request": "true"}
TYPING = {**HTMX, "X-Typing": "on"}


def test_the_page_reads_like_speech(signed_in: Browser, address: str) -> None:
    page = signed_in.get(address).content.decode()
    for part in (
        "Option A.",
        "Side of a cell",
        "as large as fits",
        "<svg",
        "with tax",
        "<span>Net</span>",
        "Cautions",
    ):
        assert part in page


def test_few_queries(signed_in: Browser, address: str, django_assert_max_num_queries: Any) -> None:
    signed_in.get(address)  # the first page of all may have the studio made
    with django_assert_max_num_queries(12):  # two of the range
        signed_in.get(address)


def test_a_change_moves_drawing_price_and_strip(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    answer = signed_in.post(address, words(**{"design.cell_side_mm": "60 mm"}), headers=HTMX)
    page = answer.content.decode()
    changed = Option.objects.get(pk=option.pk)
    assert answer.status_code == 200
    assert changed.design["cell_side_mm"] == "60"
    assert changed.gross_minor < option.gross_minor
    assert changed.revision == option.revision + 1
    for part in ("drawing", "headline", "options", "outcome", "f-revision", "undo"):
        assert f'id="{part}"' in page
    assert 'class="changed">−£' in page
    assert 'name="design.cell_side_mm"' not in page  # the field that is typed in is left alone
    assert [change.sequence for change in option.changes.all()] == [1, 2]


def test_nothing_changed_moves_nothing(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    page = signed_in.post(address, words(), headers=HTMX).content.decode()
    assert 'id="drawing"' not in page
    assert Option.objects.get(pk=option.pk).revision == option.revision
    assert option.changes.count() == 1


def test_another_arrangement_brings_its_own_words(signed_in: Browser, address: str, words: Words) -> None:
    page = signed_in.post(
        address, words(**{"design.arrangement.kind": "bands"}), headers=HTMX
    ).content.decode()
    assert 'id="words"' in page
    assert 'name="design.arrangement.bands.1.cells"' in page
    page = signed_in.post(address, words(change="add band"), headers=HTMX).content.decode()
    assert 'name="design.arrangement.bands.2.cells"' in page
    page = signed_in.post(address, words(change="remove band"), headers=HTMX).content.decode()
    assert 'name="design.arrangement.bands.2.cells"' not in page


def test_the_first_button_of_the_words_only_saves(signed_in: Browser, address: str, words: Words) -> None:
    """Enter presses it, in every browser, script or not."""
    signed_in.post(address, words(**{"design.arrangement.kind": "bands"}))
    page = signed_in.get(address).content.decode()
    form = page[page.index('<form id="words"') :].partition("</form>")[0]
    first = page.index('<button type="submit" form="words" class="only-read"')
    assert first < page.index('form="words"', first + 50)
    assert first < page.index(form) + form.index("add band")
    assert "name=" not in page[first : page.index(">", first)]


def test_another_lattice_brings_patterns_of_its_own(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    signed_in.post(address, words(**{"design.lattice": "square"}), headers=HTMX)
    design = Option.objects.get(pk=option.pk).design
    assert (design["lattice"], design["arrangement"]["field"]["pattern"]) == ("square", "square-hemp-leaf")


@pytest.mark.parametrize(
    ("field", "text", "remedy"),
    [
        ("design.cell_side_mm", "0", "At least 0.1 mm"),
        ("design.cell_side_mm", "-5", "A length above zero"),
        ("design.cell_side_mm", "0.1 mm", "at least 10"),
        ("design.cell_side_mm", "10 km", "Write a length"),
        ("design.cell_side_mm", "", "Write a length"),
        ("design.cell_side_mm", "abc", "Write a length"),
        ("design.cell_side_mm", "1 m 3 in", "One unit"),
        ("design.columns", "many", "a whole number"),
        ("design.columns", "399", ""),
        ("design.arrangement.border_cells", "99", "at most 40"),
        ("design.arrangement.field.pattern", "<b>", ""),
        ("design.lattice_filament", "Gold 🪙", ""),
        ("space.widths_mm.0", "x" * 2000, "Write a length"),
        ("space.widths_mm.0", "", "Type it as it was said"),
        ("space.gap_mm", "", "Type a length"),
        ("terms.distance_km", "far", "a number"),
        ("terms.tax", "luxury", "standard"),
    ],
)
def test_bad_words_leave_the_last_good_design(
    signed_in: Browser, option: Option, address: str, words: Words, field: str, text: str, remedy: str
) -> None:
    typed = words(**{field: text})
    answer = signed_in.post(address, typed, headers=HTMX)
    page = answer.content.decode()
    if field == "design.arrangement.field.pattern":  # not of this lattice: its usual one takes its place
        assert answer.status_code == 200
        return
    assert answer.status_code == 422
    assert remedy in page
    assert "<b>" not in page
    assert 'id="drawing"' not in page
    now = Option.objects.get(pk=option.pk)
    assert (now.design, now.revision, now.gross_minor) == (option.design, option.revision, option.gross_minor)
    whole = signed_in.post(address, typed)
    assert whole.status_code == 422
    assert "<svg" in whole.content.decode()
    if text.isalpha() and len(text) < 60:
        assert f'value="{text}"' in whole.content.decode()


def test_what_is_wrong_is_said_beside_its_word(signed_in: Browser, address: str, words: Words) -> None:
    page = signed_in.post(address, words(**{"design.depth_mm": "deep"}), headers=HTMX).content.decode()
    assert 'id="f-design-depth-mm-p" hx-swap-oob="true">“deep” is not a length.' in page
    assert 'id="f-design-cell-side-mm-p" hx-swap-oob="true"></span>' in page
    assert "Not saved: the drawing and the price are those of the last words that worked" in page


def test_one_cell_and_millimetres_are_read_aloud(signed_in: Browser, address: str, words: Words) -> None:
    assert words()["space.heights_mm.0"] == "500 mm"  # typed as 500
    one = words(**{"design.arrangement.border_cells": "1"})
    assert (
        '<span id="border-cells" hx-swap-oob="true">cell</span>'
        in signed_in.post(address, one, headers=HTMX).content.decode()
    )
    assert '<span id="border-cells">cell</span>' in signed_in.get(address).content.decode()


def test_half_a_word_is_no_mistake(signed_in: Browser, option: Option, address: str, words: Words) -> None:
    answer = signed_in.post(address, words(**{"design.depth_mm": "1 m 3"}), headers=TYPING)
    assert (answer.status_code, answer.content) == (204, b"")
    assert Option.objects.get().design == option.design
    assert signed_in.post(address, words(**{"design.depth_mm": "15"}), headers=TYPING).status_code == 200


def test_decimal_commas_and_inches_are_read(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    signed_in.post(address, words(**{"design.cell_side_mm": "4,5 cm"}), headers=HTMX)
    assert Option.objects.get(pk=option.pk).design["cell_side_mm"] == "45"
    signed_in.post(address, words(**{"design.cell_side_mm": '1 3/4"'}), headers=HTMX)
    assert Option.objects.get(pk=option.pk).design["cell_side_mm"] == "44.45"


def test_space_and_terms_belong_to_all_options(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    signed_in.post(f"{address}copy/")
    signed_in.post(
        address, words(**{"space.widths_mm.0": "about 900 mm", "terms.delivery": "collected"}), headers=HTMX
    )
    a, b = Option.objects.order_by("letter")
    assert a.gross_minor == b.gross_minor != option.gross_minor
    assert b.revision == 2
    space = Space.objects.get()
    assert (space.typed["widths_mm.0"], space.document["width_origin"]) == ("about 900 mm", "said")
    assert "<strong>about £" in signed_in.get(address).content.decode()


def test_what_stands_there_is_ticked_while_the_client_talks(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    signed_in.post(address, words(**{"space.stands.sofa": "on"}), headers=HTMX)
    assert Space.objects.get().document["stands_near"] == ["sofa"]
    page = signed_in.get(address).content.decode()
    assert 'name="space.stands.sofa" type="checkbox" value="on" checked' in page
    signed_in.post(address, words(**{"space.stands.sofa": "off"}), headers=HTMX)
    assert Space.objects.get().document["stands_near"] == []


def test_a_carrier_and_no_survey_are_chosen_and_priced(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    sent = {"terms.delivery": "sent by carrier", "terms.survey": "by the client"}
    assert signed_in.post(address, words(**sent), headers=HTMX).status_code == 200
    terms = Commission.objects.get().terms
    assert (terms["delivery"], terms["survey"]) == ("sent by carrier", "by the client")
    page = signed_in.get(f"{address}money/").content.decode()
    assert "Small parcel" in page
    assert "Going through the client’s measurements" in page
    assert "Survey and measuring" not in page


def test_a_panel_that_no_row_of_the_carrier_takes_is_told_at_the_choice(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    large = {
        "space.widths_mm.0": "2500 mm",
        "space.heights_mm.0": "300",
        "terms.delivery": "sent by carrier",
    }
    way = {"space.way_in.width_mm": "2500", "space.way_in.length_mm": "3000"}
    answer = signed_in.post(address, words(**large, **way), headers=HTMX)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'id="f-terms-delivery-p" hx-swap-oob="true">No row of the carrier’s table takes a part of' in page


def test_a_discount_with_its_reason(signed_in: Browser, option: Option, address: str, words: Words) -> None:
    chosen = {"terms.discount.kind": "percent"}
    assert signed_in.post(address, words(**chosen), headers=HTMX).status_code == 200
    assert Commission.objects.get().terms["discount"] is None
    answer = signed_in.post(address, words(**chosen, **{"terms.discount.value": "10"}), headers=HTMX)
    assert answer.status_code == 422
    assert 'id="f-terms-discount-reason-p" hx-swap-oob="true">The client reads why' in answer.content.decode()
    discount = {"kind": "percent", "value": "10", "reason": "second panel"}
    typed = words(**{f"terms.discount.{name}": text for name, text in discount.items()})
    assert signed_in.post(address, typed, headers=HTMX).status_code == 200
    assert Option.objects.get(pk=option.pk).gross_minor < option.gross_minor
    assert Commission.objects.get().terms["discount"]["reason"] == "second panel"


def test_too_many_plates_are_said_beside_the_columns(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    hall = {"space.widths_mm.0": "20 m", "space.heights_mm.0": "6 m", "space.mounting": "free-standing"}
    answer = signed_in.post(address, words(**hall, **{"design.cell_side_mm": "160 mm"}), headers=HTMX)
    assert answer.status_code == 422
    said = re.search(r'id="f-design-columns-p"[^>]*>([^<]*)', answer.content.decode())
    assert said
    assert "more than the 3,000 plates" in said[1]
    now = Option.objects.get(pk=option.pk)
    assert (now.design, now.gross_minor) == (option.design, option.gross_minor)


def test_without_script_the_page_comes_again(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    answer = signed_in.post(address, words(**{"design.depth_mm": "15 mm"}))
    assert (answer.status_code, answer["Location"]) == (302, address)
    assert Option.objects.get(pk=option.pk).design["depth_mm"] == "15"


def test_what_was_sold_does_not_change(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    Commission.objects.update(stage="approved")
    answer = signed_in.post(address, words(**{"design.depth_mm": "15 mm"}), headers=HTMX)
    assert answer.status_code == 422
    assert "is approved" in answer.content.decode()
    for deed in ("copy", "undo", "remove"):
        assert signed_in.post(f"{address}{deed}/").status_code == 302
    now = Option.objects.get()
    assert (now.letter, now.design) == ("A", option.design)


def dearer(percent: int = 50) -> None:
    book = current_book(today())[1]
    save_book(replace(book, basis_percent=Decimal(percent)), User.objects.get(), today())


def test_words_undo_neighbours_and_copies_keep_their_rates(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    signed_in.post(f"{address}copy/")
    dearer()
    wider = {"design.depth_mm": "15 mm", "space.widths_mm.0": "620 mm"}
    signed_in.post(address, words(**wider), headers=HTMX)
    undo(signed_in, address)
    signed_in.post(address, words(**{"space.widths_mm.0": "600 mm"}), headers=HTMX)
    signed_in.post(f"{address}copy/")
    options = Option.objects.order_by("letter")
    assert [each.letter for each in options] == ["A", "B", "C"]
    assert {each.rate_book_id for each in options} == {option.rate_book_id}
    assert {each.gross_minor for each in options} == {option.gross_minor}


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_newer_rates_are_taken_by_a_button_that_says_what_they_did(
    signed_in: Browser, option: Option, address: str, headers: dict[str, str]
) -> None:
    signed_in.post(f"{address}copy/")
    dearer()
    page = signed_in.get(address).content.decode()
    assert "Priced with the example rates; newer ones are in use" in page
    assert page.count('<span class="small">example rates</span>') == 2
    answer = signed_in.post(f"{address}rates/", headers=headers)
    page = (answer if headers else signed_in.get(address)).content.decode()
    now = Option.objects.get(pk=option.pk)
    assert now.gross_minor > option.gross_minor
    was, stands = (f"£{minor // 100:,}.{minor % 100:02}" for minor in (option.gross_minor, now.gross_minor))
    assert f"{was} became {stands}." in page
    assert "newer ones are in use" not in page
    assert page.count('<span class="small">example rates</span>') == 1  # the neighbour's
    assert Option.objects.get(letter="B").gross_minor == option.gross_minor


def test_a_colour_without_a_price_is_marked_at_its_word(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    book = current_book(today())[1]
    used = option.design["arrangement"]["field"]["filament"]
    brass = next(replace(f, name="Brass", price_per_spool=None) for f in book.filaments if f.name == used)
    save_book(replace(book, filaments=(*book.filaments, brass)), User.objects.get(), today())
    signed_in.post(f"{address}rates/")
    typed = words(**{"design.arrangement.field.filament": "Brass"})
    page = signed_in.post(address, typed, headers=HTMX).content.decode()
    said = "The panel uses Brass, which has no price yet. Set what a spool costs."
    told = f'{said} <a href="/workshop/filaments/">'
    assert f'id="f-design-arrangement-field-filament-p" hx-swap-oob="true">{told}' in page
    assert page.count(told) == 1
    now = Option.objects.get()
    now.design["arrangement"]["field"]["filament"] = "Brass"
    now.save()
    page = signed_in.get(address).content.decode()
    assert f'id="f-design-arrangement-field-filament-p">{told}' in page
    assert "There is no price" in page
    Option.objects.update(gross_minor=None)
    strip = signed_in.get(address).context["side_by_side"][0]
    assert (strip["price"], strip["ready"]) == ("no price yet", "")


def test_what_was_sold_takes_no_newer_rates(signed_in: Browser, option: Option, address: str) -> None:
    dearer()
    Commission.objects.update(stage="approved")
    assert "newer ones" not in signed_in.get(address).content.decode()
    assert signed_in.post(f"{address}rates/").status_code == 422
    assert Option.objects.get().rate_book_id == option.rate_book_id


def test_imperial_studio(signed_in: Browser, option: Option, address: str, words: Words) -> None:
    studio = the_studio_in_inches()
    assert studio.units == "imperial"
    page = signed_in.get(address).content.decode()
    assert "sizes in inches" in page
    assert signed_in.post(address, words(), headers=HTMX).status_code == 200
    assert Option.objects.get(pk=option.pk).design == option.design


def the_studio_in_inches() -> Any:
    from studio.workshop.books import the_studio

    studio = the_studio()
    studio.units = "imperial"
    studio.save()
    return studio


@pytest.mark.parametrize("deed", ["", "copy/", "remove/", "undo/", "rates/", "back/"])
def test_strangers_change_nothing(
    client: Browser, signed_in: Browser, option: Option, address: str, deed: str
) -> None:
    signed_in.logout()
    answer = client.post(address + deed, {"design.depth_mm": "15 mm"})
    assert answer["Location"].startswith("/sign-in/")
    assert Option.objects.get().design == option.design


@pytest.mark.parametrize("place", ["options/B/", "options/%C3%9F/", "options/AB/"])
def test_no_such_option(signed_in: Browser, option: Option, place: str) -> None:
    assert signed_in.get(f"/commissions/{option.commission.public_id}/{place}").status_code == 404


def test_two_commissions_do_not_mix(signed_in: Browser, option: Option) -> None:
    other = start(signed_in, where="the other wall")
    page = signed_in.get(f"/commissions/{other.commission.public_id}/options/A/").content.decode()
    assert option.commission.public_id not in page


def test_an_erased_client_is_not_linked(signed_in: Browser) -> None:
    option = start(signed_in, new_client="Marram")
    client = option.commission.client
    client.erased_at, client.name = client.created_at, "erased"
    client.save()
    page = signed_in.get(f"/commissions/{option.commission.public_id}/options/A/").content.decode()
    assert "An erased client" in page
    assert f"/clients/{client.public_id}/" not in page


def test_measured_is_not_said_of_about(signed_in: Browser, address: str, words: Words) -> None:
    page = signed_in.post(address, words(**{"space.widths_mm.0": "about 600"}), headers=HTMX).content.decode()
    assert '<option value="said" selected>said</option>' in page  # the word follows
    answer = signed_in.post(address, words(**{"space.width_origin": "taped by us"}), headers=HTMX)
    assert answer.status_code == 422
    said = 'id="f-space-width-origin-p" hx-swap-oob="true">The width is typed with “about”: is it measured?'
    assert said in answer.content.decode()
    assert Space.objects.get().document["width_origin"] == "said"
    measured = words(**{"space.width_origin": "taped by us", "space.widths_mm.0": "600 mm"})
    assert signed_in.post(address, measured, headers=HTMX).status_code == 200
    assert Space.objects.get().document["width_origin"] == "taped by us"


def test_the_side_that_is_made_stands_beside_the_side_that_is_asked_for(
    signed_in: Browser, option: Option, address: str, words: Words
) -> None:
    """`best_fit` is the outside value here: the page only has to say it."""
    for side in ("44 mm", "61.3 mm"):
        page = signed_in.post(address, words(**{"design.cell_side_mm": side}), headers=HTMX).content.decode()
        brief = brief_of(Option.objects.get())
        made = PLAIN.length(best_fit(brief.design, brief.space).cell_side_mm)
        assert made != side
        assert f'<span id="as-fits" hx-swap-oob="true"> ({made} as it fits)</span>' in page
        assert f'<span id="as-fits"> ({made} as it fits)</span>' in signed_in.get(address).content.decode()
    fixed = {"design.cell_side_mm": "50 mm", "design.side_play_percent": "0"}
    page = signed_in.post(address, words(**fixed), headers=HTMX).content.decode()
    assert '<span id="as-fits" hx-swap-oob="true"></span>' in page
