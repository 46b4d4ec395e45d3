"""The workshop's pages: rates as tables, saved whole."""

import re
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from html import unescape

import pytest
from django.http import HttpResponse
from django.test import Client as Browser

from studio.estimate.cautions import CAUTIONS
from studio.making.example_recipes import example_recipes
from studio.pricing.labour import minutes_each
from studio.pricing.rate_book import RateBook
from studio.workshop.books import current_book, save_book, the_studio
from studio.workshop.calendar_form import calendar_form
from studio.workshop.clock import today
from studio.workshop.models import RateBookRevision, Studio
from studio.workshop.rates_pages import RATES_PAGES, rates_form
from studio.workshop.set_on import examples
from studio.workshop.shop import current_shop
from studio.workshop.studio_form import studio_form
from tests.two_tabs import fields_of

pytestmark = pytest.mark.one_engine

PAGES = ["", "calendar/", "measured/", "patterns/", *(f"{slug}/" for slug in RATES_PAGES)]


def typed(slug: str, **changed: str) -> dict[str, str]:
    values = dict(rates_form(RATES_PAGES[slug], current_book(today())[1], today()).values)
    return values | {name.replace("__", "."): text for name, text in changed.items()}


def post(browser: Browser, slug: str, **changed: str):
    return browser.post(f"/workshop/{slug}/", typed(slug, **changed))


def typed_on(page: HttpResponse) -> dict[str, str]:
    """The lines of text of a page, as a browser would post them."""
    field = r'<input [^>]*name="([^"]+)" (?:type="(?!check)[^"]*" )?value="([^"]*)"'
    found = re.findall(field, page.content.decode())
    ours = ("csrfmiddlewaretoken", "seen")
    return {name: unescape(text) for name, text in found if name not in ours and text != "off"}


@pytest.mark.parametrize("place", PAGES)
def test_pages(signed_in: Browser, place: str) -> None:
    page = signed_in.get(f"/workshop/{place}").content.decode()
    assert "rates are still examples" in page
    assert len(re.findall('class="main"', page)) == 1  # one filled button a page


def test_every_caution_is_there_to_be_read(signed_in: Browser) -> None:
    page = unescape(signed_in.get("/workshop/cautions/").content.decode())
    for caution in CAUTIONS:
        assert caution.text in page
        assert caution.source in page
    assert page.count('<th scope="row"') == len(CAUTIONS)


@pytest.mark.parametrize("place", [*PAGES, "cautions/"])
def test_strangers(client: Browser, db: None, place: str) -> None:
    assert client.get(f"/workshop/{place}")["Location"].startswith("/sign-in/")
    assert client.post(f"/workshop/{place}")["Location"].startswith("/sign-in/")


@pytest.mark.parametrize("slug", RATES_PAGES)
def test_every_section_saves_back_the_same_book(signed_in: Browser, slug: str) -> None:
    before = current_book(today())[1]
    assert post(signed_in, slug).status_code == 302
    assert current_book(today())[1] == before
    assert RateBookRevision.objects.count() == 2


def test_every_field_is_on_its_page(signed_in: Browser) -> None:
    for slug in RATES_PAGES:
        page = signed_in.get(f"/workshop/{slug}/").content.decode()
        assert [name for name in typed(slug) if f'name="{name}"' not in page] == []
    page = signed_in.get("/workshop/calendar/").content.decode()
    values = calendar_form(current_book(today())[1]).values
    assert [name for name in values if f'name="{name}"' not in page] == []


def test_a_changed_price_is_the_studios_own(signed_in: Browser) -> None:
    total = len(examples(current_book(today())[1]))
    post(signed_in, "filaments", filaments__0__price_per_spool="25.75", filaments__1__price_per_spool="")
    book = current_book(today())[1]
    assert [filament.price_per_spool for filament in book.filaments[:2]] == [Decimal("25.75"), None]
    assert book.set_on == {"filaments.Tea": today(), "filaments.Indigo": today()}
    assert f"{total - 2} of {total} rates" in signed_in.get("/workshop/").content.decode()


def test_all_rates_of_a_page_taken_over(signed_in: Browser) -> None:
    post(signed_in, "price", ours="on")
    assert current_book(today())[1].set_on.keys() >= {"price", "overhead_per_hour", "tax", "deposits"}
    assert "filaments.Tea" not in current_book(today())[1].set_on


def test_the_weight_of_a_day_may_be_left_to_the_overhead(signed_in: Browser) -> None:
    post(signed_in, "price", day_weight="80")
    assert current_book(today())[1].weight_of_a_day == 80
    post(signed_in, "price", day_weight="")
    assert current_book(today())[1].day_weight is None


def test_a_decimal_comma_is_a_decimal(signed_in: Browser) -> None:
    post(signed_in, "filaments", **{"filaments.0.price_per_spool": "24,50"})
    assert current_book(today())[1].filaments[0].price_per_spool == Decimal("24.50")


@pytest.mark.parametrize(
    ("slug", "field", "text", "remedy"),
    [
        ("filaments", "filaments.0.price_per_spool", "-1", "at least 0"),
        ("filaments", "filaments.0.price_per_spool", "dear", "a number"),
        ("filaments", "filaments.0.price_per_spool", "2.1.50", "a number"),
        ("filaments", "filaments.0.name", "x" * 2000, "at most 80 characters"),
        ("filaments", "filaments.0.name", "", "at least 1 character"),
        ("filaments", "filaments.0.name", "Indigo", "Keep one"),
        ("filaments", "filaments.0.printers", "Barn bed", "Use: Small bed"),
        ("filaments", "filaments.0.spool_g", "0", "at least 50"),
        ("printers", "printers.0.bed_width_mm", "10", "at least 50"),
        ("printers", "printers.0.scrap_value", "5000", "At most"),
        ("printers", "printers.0.recipe.layer_mm", "", "a number"),
        ("labour", "operations.0.role", "apprentice", "Add its rate"),
        ("labour", "operations.0.minutes", "long", "a number"),
        ("labour", "roles.0.name", "", "at least 1 character"),
        ("labour", "roles.0.name", "maker", "Keep one"),
        ("labour", "roles.0.rate", "", "a number"),
        ("bought", "bought.0.per", "whim", "Give"),
        ("lighting", "lighting.strips.0.cut_mm", "0", "at least 1"),
        ("lighting", "lighting.supplies.0.code", "supply-60", "Keep one"),
        ("lighting", "lighting.rules.drop_percent", "", "a number"),
        ("lighting", "lighting.softens.0.material", "PETG", "Keep one"),
        ("price", "deposits.0.percent", "60", "100 %"),
        ("price", "basis_percent", "99", "below 100 %"),
        ("price", "effective_from", "soon", "2026-03-01"),
        ("price", "effective_from", "", "2026-03-01"),
    ],
)
def test_bad_rates_stay_typed(signed_in: Browser, slug: str, field: str, text: str, remedy: str) -> None:
    answer = post(signed_in, slug, **{field: text})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert remedy.lower() in page.lower()
    if field != "operations.0.role":
        assert f'value="{text}"' in page
    assert RateBookRevision.objects.count() == 1


def test_which_rates_hold_from_when_is_said(signed_in: Browser) -> None:
    ahead = today() + timedelta(days=30)
    save_book(current_book(today())[1], None, ahead)
    page = signed_in.get("/workshop/price/").content.decode()
    assert f'<a href="?on={ahead.isoformat()}">' in page
    answer = signed_in.post("/workshop/price/", typed("price", card_percent="3"), follow=True)
    assert f"until those saved for {ahead.day} {ahead:%B %Y}" in answer.content.decode()
    assert current_book(ahead)[1].card_percent != 3


def test_from_when_rates_hold_is_said_in_the_manner_of_the_studio(signed_in: Browser) -> None:
    the_studio()
    Studio.objects.update(locale="en_US")
    answer = signed_in.post("/workshop/price/", typed("price", card_percent="3"), follow=True)
    assert f"these rates hold from {today():%B} {today().day}, {today().year}." in answer.content.decode()


def test_rates_that_would_never_hold_are_refused(signed_in: Browser) -> None:
    save_book(current_book(today())[1], None, today())
    for day in ((today() - timedelta(days=1)).isoformat(), "1999-12-31", "0001-01-01"):
        assert post(signed_in, "price", effective_from=day).status_code == 422


def test_rows_come_and_go_before_anything_is_saved(signed_in: Browser) -> None:
    page = post(signed_in, "filaments", add="filaments", filaments__0__name="Tea leaf").content.decode()
    assert 'value="Tea leaf"' in page
    page = post(signed_in, "filaments", remove="filaments.0").content.decode()
    assert 'value="Tea"' not in page
    for nonsense in ("filaments.99", "filaments.x", "set_on.0", "filaments", f"filaments.{'9' * 5000}"):
        assert post(signed_in, "filaments", remove=nonsense).status_code == 200
    assert RateBookRevision.objects.count() == 1


@pytest.mark.parametrize(
    ("slug", "kind"), [(section.slug, kind) for section in RATES_PAGES.values() for kind in section.rows]
)
def test_every_list_grows(signed_in: Browser, slug: str, kind: str) -> None:
    here = [name.removeprefix(f"{kind}.").split(".") for name in typed(slug) if name.startswith(f"{kind}.")]
    count = len({number for number, *_rest in here})
    first = here[0][1:] if here else list(RATES_PAGES[slug].rows[kind])[:1]
    field = ".".join([kind, str(count), *first])
    assert f'name="{field}"' in post(signed_in, slug, add=kind).content.decode()


def test_recipes_for_materials_come_and_go(signed_in: Browser) -> None:
    page = post(signed_in, "printers", add="printers.0.recipes").content.decode()
    assert 'name="printers.0.recipes.0.recipe.layer_mm"' in page
    fields = typed_on(post(signed_in, "printers", add="printers.1.recipes.PETG"))
    assert fields["printers.1.recipes.0.of"] == "PETG"
    assert signed_in.post("/workshop/printers/", fields).status_code == 302
    small, large = current_book(today())[1].printers
    assert (small.recipes, large.recipes) == ((), example_recipes()[:1])
    assert post(signed_in, "printers").status_code == 302
    assert current_book(today())[1].printers == (small, large)
    gone = typed_on(post(signed_in, "printers", remove="printers.1.recipes.0"))
    assert signed_in.post("/workshop/printers/", gone).status_code == 302
    assert current_book(today())[1].printers[1].recipes == ()


@pytest.mark.parametrize(("name", "remedy"), [("", "at least 1 character"), ("standard", "Keep one")])
def test_a_recipe_is_for_something_of_its_own(signed_in: Browser, name: str, remedy: str) -> None:
    fields = typed_on(post(signed_in, "printers", add="printers.0.recipes"))
    answer = signed_in.post("/workshop/printers/", fields | {"printers.0.recipes.0.of": name})
    assert answer.status_code == 422
    assert remedy in answer.content.decode()


@pytest.mark.parametrize(
    "place", ["printers.", "printers.0", "printers.9.recipes", "printers.0.name.x", "printers.x.recipes"]
)
def test_recipes_of_printers_that_are_not_there(signed_in: Browser, place: str) -> None:
    assert typed_on(post(signed_in, "printers", add=place)).keys() == typed("printers").keys()


def test_no_rate_is_left_out() -> None:
    on_pages = [field for section in RATES_PAGES.values() for field in section.fields]
    assert sorted([*on_pages, "currency", "set_on", "measured", "hours"]) == sorted(
        RateBook.__dataclass_fields__
    )


@pytest.mark.parametrize("slug", ["printers", "filaments", "labour", "price"])
def test_a_line_can_be_added_to_none(signed_in: Browser, slug: str) -> None:
    kind = {"price": "tax", "labour": "roles"}.get(slug, slug)
    page = signed_in.post(f"/workshop/{slug}/", {"add": kind}).content.decode()
    assert f'name="{kind}.0.' in page
    assert signed_in.post(f"/workshop/{slug}/", {"add": kind, f"{kind}.0": "a text"}).status_code == 200


@pytest.mark.parametrize("field", ["roles", "roles.0", "roles.0.name", "roles.0.name.0"])
def test_roles_that_no_page_posts(signed_in: Browser, field: str) -> None:
    others = {name: text for name, text in typed("labour").items() if not name.startswith("roles")}
    assert signed_in.post("/workshop/labour/", others | {field: "x"}).status_code == 422


def test_markup_in_a_name_is_text(signed_in: Browser) -> None:
    post(signed_in, "filaments", filaments__0__name="<b>Tea</b> 🍵")
    page = signed_in.get("/workshop/filaments/").content.decode()
    assert "&lt;b&gt;Tea&lt;/b&gt; 🍵" in page
    assert "<b>Tea" not in page


def test_studio(signed_in: Browser) -> None:
    values = dict(studio_form(the_studio()).values)
    changed = values | {"name": "Reed & Resin", "locale": "en-US", "units": "imperial", "paper": "letter"}
    assert signed_in.post("/workshop/", changed).status_code == 302
    studio = the_studio()
    assert (studio.name, studio.locale, studio.units, studio.paper) == (
        "Reed & Resin",
        "en-US",
        "imperial",
        "letter",
    )
    values = dict(studio_form(the_studio()).values)
    for field, text in (("locale", "xx_Nowhere"), ("name", ""), ("name", "x" * 2000), ("paper", "A0")):
        assert signed_in.post("/workshop/", values | {field: text}).status_code == 422
    assert the_studio().name == "Reed & Resin"


def calendar(**changed: str) -> dict[str, str]:
    values = dict(calendar_form(current_book(today())[1]).values)
    return values | {name.replace("__", "."): text for name, text in changed.items()}


def test_calendar(signed_in: Browser) -> None:
    changed = calendar(stock__1__shelf_g="750", days_off="2026-12-24\n2026-12-31", subdivision="")
    assert signed_in.post("/workshop/calendar/", changed | {"day-6": "on"}).status_code == 302
    shop = current_shop(today())
    assert [(row.filament, row.shelf_g) for row in shop.stock] == [("Indigo", 750)]
    assert (shop.working_days, len(shop.days_off), shop.subdivision) == ((1, 2, 3, 4, 5, 6), 2, None)


def test_labour_strays_by_a_percentage(signed_in: Browser) -> None:
    """exp(0.25 × 0.8416 − 0.25²/2) is 1.196: the 0.8 quantile of a log-normal factor with mean 1."""
    page = signed_in.get("/workshop/calendar/").content.decode()
    assert "At 25\u00a0%, 9 of 10 jobs take at most 1.3 times the plan." in page
    changed = calendar(labour_spread="12,5", time_zone="Europe/Paris")
    assert signed_in.post("/workshop/calendar/", changed).status_code == 302
    assert (current_shop(today()).labour_spread, current_shop(today()).time_zone) == (0.125, "Europe/Paris")
    assert calendar()["labour_spread"] == "12.5"


def test_tolerances_are_rates_like_others(signed_in: Browser) -> None:
    assert post(signed_in, "price", tolerances__glue_gap_mm="0,08").status_code == 302
    book = current_book(today())[1]
    assert (book.tolerances.glue_gap_mm, book.set_on) == (Decimal("0.08"), {"tolerances": today()})
    answer = post(signed_in, "price", tolerances__scale_percent="6")
    assert answer.status_code == 422
    assert "<details open>" in answer.content.decode()


def test_parts_of_the_price_have_their_own_tax(signed_in: Browser) -> None:
    page = post(signed_in, "price", heading_tax__delivery="zero", deposit_is_tax_point="on")
    assert page.status_code == 302
    book = current_book(today())[1]
    assert (book.heading_tax, book.deposit_is_tax_point) == ({"delivery": "zero"}, True)
    page = signed_in.get("/workshop/price/").content.decode()
    assert re.search('name="heading_tax.delivery".*?<option value="zero" selected', page, re.DOTALL)
    kept = typed("price", heading_tax__delivery="")
    assert signed_in.post("/workshop/price/", kept).status_code == 302
    assert current_book(today())[1].heading_tax == {}


@pytest.mark.parametrize(
    ("field", "text"),
    [("heading_tax.delivery", "gone"), ("heading_tax.tea", "zero"), ("heading_tax", "zero")],
)
def test_a_tax_that_is_not_there(signed_in: Browser, field: str, text: str) -> None:
    others = {name: value for name, value in typed("price").items() if not name.startswith("heading_tax")}
    assert signed_in.post("/workshop/price/", others | {field: text}).status_code == 422


def test_promised_jobs(signed_in: Browser) -> None:
    page = signed_in.post("/workshop/calendar/", calendar(add="promised")).content.decode()
    assert 'name="promised.0.printer_hours"' in page
    job = {"text": "Fern screen", "printer": "Small bed", "printer_hours": "40", "people_hours": "6"}
    signed_in.post(
        "/workshop/calendar/", calendar(**{f"promised.0.{name}": text for name, text in job.items()})
    )
    assert current_shop(today()).promised[0].printer_hours == 40
    page = signed_in.post("/workshop/calendar/", calendar(remove="promised.0")).content.decode()
    assert 'name="promised.0.printer_hours"' not in page


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("days_off", "Christmas"),
        ("attended_to_hour", "8"),
        ("attended_to_hour", "late"),
        ("people_hours_per_day", "0"),
        ("country", "Atlantis"),
        ("time_zone", "Middle/Earth"),
        ("time_zone", ""),
        ("labour_spread", "much"),
        ("labour_spread", "-1"),
        ("labour_spread", "151"),
        ("stock.2.shelf_g", "-5"),
        ("stock.2.shelf_g", "some"),
    ],
)
def test_bad_calendar(signed_in: Browser, field: str, text: str) -> None:
    answer = signed_in.post("/workshop/calendar/", calendar(**{field: text}))
    page = answer.content.decode()
    ident = "f-" + field.replace("_", "-").replace(".", "-")
    assert answer.status_code == 422
    assert f'<a href="#{ident}">' in page
    assert text in page


@pytest.mark.parametrize("field", ["stock", "stock.0", "stock.x", "stock.0.0", "promised", "promised.0"])
def test_a_calendar_that_no_page_posts(signed_in: Browser, field: str) -> None:
    bare = {name: text for name, text in calendar().items() if not name.startswith("stock")}
    assert signed_in.post("/workshop/calendar/", bare | {field: "x"}).status_code == 422


def test_a_week_without_a_working_day(signed_in: Browser) -> None:
    answer = signed_in.post("/workshop/calendar/", calendar(**{f"day-{day}": "off" for day in range(1, 8)}))
    assert answer.status_code == 422
    assert "Tick at least one" in answer.content.decode()


def test_no_such_section(signed_in: Browser) -> None:
    assert signed_in.get("/workshop/magic/").status_code == 404


def without(browser: Browser, slug: str, kind: str):
    """The page of `slug` posted with every line of a list taken away."""
    kept = {name: text for name, text in typed(slug).items() if not name.startswith(f"{kind}.")}
    return browser.post(f"/workshop/{slug}/", kept)


@pytest.mark.parametrize(
    ("slug", "kind"), [("price", "deposits"), ("price", "tax"), ("filaments", "filaments")]
)
def test_the_last_line_of_a_needed_list_is_missed(signed_in: Browser, slug: str, kind: str) -> None:
    answer = without(signed_in, slug, kind)
    assert answer.status_code == 422
    assert getattr(current_book(today())[1], kind)


def test_a_catalogue_of_lighting_comes_and_goes(signed_in: Browser) -> None:
    """What is not known of a strip is left empty; rules stay without a strip."""
    changed = {"lighting.strips.0.ohms_per_m": "", "lighting.strips.0.longest_run_mm": "5000"}
    assert post(signed_in, "lighting", **changed).status_code == 302
    strip = current_book(today())[1].lighting.strips[0]
    assert (strip.ohms_per_m, strip.longest_run_mm) == (None, 5000)
    assert without(signed_in, "lighting", "lighting.strips").status_code == 302
    lighting = current_book(today())[1].lighting
    assert (lighting.strips, len(lighting.supplies)) == ((), 6)


def test_a_studio_may_buy_nothing_in(signed_in: Browser) -> None:
    assert without(signed_in, "bought", "bought").status_code == 302
    assert current_book(today())[1].bought == ()


def test_new_hours_go_into_a_new_rate_book_which_old_options_do_not_have(signed_in: Browser) -> None:
    assert signed_in.post("/workshop/calendar/", calendar()).status_code == 302
    before, book = current_book(today())
    assert book.set_on == {"hours": today()}  # looked at and saved: the studio's own
    assert signed_in.post("/workshop/calendar/", calendar(days_off="2026-12-24")).status_code == 302
    assert current_book(today())[0] == before  # no other hours, no other book
    assert signed_in.post("/workshop/calendar/", calendar(attended_to_hour="20")).status_code == 302
    after, newer = current_book(today())
    assert after != before
    assert newer.hours.attended_to_hour == 20
    assert replace(newer, hours=book.hours) == book


def test_the_swap_of_a_plate_has_one_figure_which_the_calendar_sets(signed_in: Browser) -> None:
    assert signed_in.post("/workshop/calendar/", calendar(swap_minutes="6.5")).status_code == 302
    book = current_book(today())[1]
    (swap,) = (each for each in book.operations if each.per == "plate")
    assert (swap.minutes, minutes_each(swap, book)) == (None, Decimal("6.5"))
    page = signed_in.get("/workshop/labour/")
    assert "6.5 min now" in page.content.decode()
    posted = fields_of(page)
    assert signed_in.post("/workshop/labour/", posted | {"operations.0.minutes": ""}).status_code == 422


TWO = {
    "tax.0.percent": "",
    "tax.0.parts.0.text": "First tax",
    "tax.0.parts.0.percent": "5",
    "tax.0.parts.1.text": "Second tax",
    "tax.0.parts.1.percent": "9.975",
}


def test_several_taxes_on_one_base(signed_in: Browser) -> None:
    """A line is added and taken away before anything is saved; their sum is what they are together."""
    added = signed_in.post("/workshop/price/", typed("price") | {"add": "tax.0.parts"}).content.decode()
    assert 'name="tax.0.parts.0.text"' in added
    away = signed_in.post(
        "/workshop/price/", typed("price") | TWO | {"remove": "tax.0.parts.0"}
    ).content.decode()
    assert 'value="Second tax"' in away
    assert 'value="First tax"' not in away
    assert signed_in.post("/workshop/price/", typed("price") | TWO).status_code == 302
    tax = current_book(today())[1].tax[0]
    assert (tax.percent, [part.text for part in tax.parts]) == (
        Decimal("14.975"),
        ["First tax", "Second tax"],
    )


@pytest.mark.parametrize(
    ("changed", "remedy"),
    [
        ({"tax.0.percent": "-1"}, "at least 0"),
        ({"tax.0.percent": "101"}, "at most 100"),
        ({"tax.0.text": ""}, "at least 1 character"),
        ({"tax.1.text": "VAT, standard rate"}, "is there twice"),
        ({"tax.1.treatment": "exempt"}, "does not say why there is no tax"),
        ({"tax.0.treatment": "reverse charge", "tax.0.reason": "So it is"}, "is no reverse charge"),
        (TWO | {"tax.0.percent": "15"}, "taxes make 14.975"),
        (TWO | {"tax.0.parts.1.text": "First tax"}, "is there twice"),
        (TWO | {"tax.0.parts.1.text": ""}, "at least 1 character"),
        (TWO | {"tax.0.parts.1.percent": "-9"}, "more than 0"),
        (TWO | {"tax.0.parts.1.percent": "96"}, "at most 100"),
        (TWO | {"tax.0.parts.1.percent": "some"}, "a number"),
    ],
)
def test_taxes_that_will_not_do_stay_typed(signed_in: Browser, changed, remedy) -> None:
    answer = signed_in.post("/workshop/price/", typed("price") | changed)
    page = unescape(answer.content.decode())
    assert answer.status_code == 422
    assert remedy in page
    assert all(f'value="{text}"' in page for name, text in changed.items() if text)
    assert RateBookRevision.objects.count() == 1


def test_when_tax_is_due_is_left_to_what_is_usual(signed_in: Browser) -> None:
    assert "usual here: with each payment" in signed_in.get("/workshop/price/").content.decode()
    Studio.objects.update(locale="en_US")
    assert "usual here: at the hand-over" in signed_in.get("/workshop/price/").content.decode()
    assert current_book(today())[1].deposit_is_tax_point is None


RAIL = {
    "text": "Cleat rail", "code": "rail", "kind": "cleat rail", "rating_g": "60000", "price": "9.50",
    "minutes": "12", "role": "maker", "mass_g": "300", "width_mm": "200", "needs_mm": "0",
    "off_wall_mm": "8", "holes_mm": "-90, 90",
}  # fmt: skip


def with_rail(**changed: str) -> dict[str, str]:
    return {f"hangers.0.{name}": text for name, text in {**RAIL, **changed}.items()}


def test_hangers_are_typed_and_what_joints_hold_may_stay_unknown(signed_in: Browser) -> None:
    assert post(signed_in, "hanging", **with_rail(), **{"joints.key_g": "900"}).status_code == 302
    book = current_book(today())[1]
    (rail,) = book.hangers
    assert (rail.kind, rail.rating_g, rail.holes_mm) == ("cleat rail", 60_000, (-90, 90))
    assert (book.joints.key_g, book.joints.glue_g) == (900, None)
    assert book.set_on["hangers.rail"] == today()
    page = signed_in.get("/workshop/hanging/").content.decode()
    assert 'value="-90, 90"' in page


@pytest.mark.parametrize(
    ("field", "text", "says"),
    [
        ("rating_g", "0", "more than 0"),
        ("holes_mm", "10, 20", "both sides"),
        ("holes_mm", "ten", "a number"),
        ("code", "A rail", "small letters"),
    ],
)
def test_a_wrong_hanger_is_told_where_it_is(signed_in: Browser, field: str, text: str, says: str) -> None:
    page = post(signed_in, "hanging", **with_rail(**{field: text}))
    assert page.status_code == 422
    assert says in unescape(page.content.decode())
    assert text in unescape(page.content.decode())
    assert current_book(today())[1].hangers == ()
