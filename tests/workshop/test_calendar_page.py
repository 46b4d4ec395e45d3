"""The calendar's page: jobs that are typed by hand, the shelf, and jobs that are booked from elsewhere."""

import re
from datetime import date, timedelta

import pytest
from django.test import Client as Browser

from studio.making.booked import amounts
from studio.people.models import User
from studio.workshop.bookings import move, open_jobs
from studio.workshop.books import current_book, the_studio, voice_of
from studio.workshop.calendar_form import calendar_form
from studio.workshop.clock import today
from studio.workshop.models import Booking, BookingMovement, BookingStep, StockMovement
from studio.workshop.shop import current_shop
from studio.workshop.stock import move_stock
from tests.two_tabs import fields_of


def calendar(**changed: str) -> dict[str, str]:
    values = dict(calendar_form(current_book(today())[1]).values)
    return values | {name.replace("__", "."): text for name, text in changed.items()}


def test_a_job_without_printing(signed_in: Browser) -> None:
    job = {
        "text": "Packing for the fair",
        "printer": "Small bed",
        "printer_hours": "0",
        "people_hours": "3.3333",
    }
    typed_job = {f"promised.0.{name}": text for name, text in job.items()}
    assert signed_in.post("/workshop/calendar/", calendar(**typed_job)).status_code == 302
    (line,) = [fields for name, fields in calendar().items() if name == "promised.0.printer"]
    assert (line, calendar()["promised.0.people_hours"]) == ("", "3.3333")
    assert signed_in.post("/workshop/calendar/", calendar()).status_code == 302
    assert Booking.objects.get().steps.count() == 1  # saved as it was: nothing has moved
    typed_job["promised.0.printer_hours"] = "2"
    answer = signed_in.post("/workshop/calendar/", calendar(**typed_job | {"promised.0.printer": ""}))
    assert answer.status_code == 422
    assert "It is printed on no printer. One of Small bed" in answer.content.decode()


def test_jobs_typed_by_hand_become_movements(signed_in: Browser, owner: User) -> None:
    job = {"text": "Fern screen", "printer": "Small bed", "printer_hours": "40", "people_hours": "6"}
    typed_job = {f"promised.0.{name}": text for name, text in job.items()}
    signed_in.post("/workshop/calendar/", calendar(**typed_job, stock__0__promised_g="120.5"))
    signed_in.post("/workshop/calendar/", calendar(promised__0__printer_hours="30.5"))
    signed_in.post(
        "/workshop/calendar/", calendar(stock__0__promised_g="100", promised__0__printer="Large bed")
    )
    moved = BookingMovement.objects.filter(step__booking__words="Fern screen")
    assert list(moved.values_list("name", "hundredths")) == [
        ("", 36_000), ("Small bed", 240_000), ("Small bed", -57_000),
        ("Large bed", 183_000), ("Small bed", -183_000),
    ]  # fmt: skip
    assert [(row.filament, row.promised_g) for row in current_shop(today()).stock] == [("Tea", 100)]
    assert set(BookingStep.objects.values_list("by", "state")) == {(owner.pk, "firm")}
    signed_in.post("/workshop/calendar/", calendar(promised__0__text="Fern screen, taller"))
    assert [(job.words, job.total("people minutes")) for job in open_jobs(by_hand=True)] == [
        ("", 0), ("Fern screen, taller", 36_000)
    ]  # fmt: skip  # the first are the grams; words never change, so the job is booked anew
    gone = signed_in.post("/workshop/calendar/", calendar(remove="promised.0"))
    assert signed_in.post("/workshop/calendar/", fields_of(gone)).status_code == 302
    assert current_shop(today()).promised == ()


def test_the_shelf_is_counted(signed_in: Browser) -> None:
    signed_in.post("/workshop/calendar/", calendar(stock__0__shelf_g="750.25"))
    signed_in.post("/workshop/calendar/", calendar(stock__0__shelf_g="700", curing_days="2"))
    signed_in.post("/workshop/calendar/", calendar(curing_days="3"))
    assert list(StockMovement.objects.values_list("filament", "hundredths_g", "why")) == [
        ("Tea", 75_025, "counted"), ("Tea", -5_025, "counted")
    ]  # fmt: skip
    move_stock("Tea", -80_000, StockMovement.Why.USED, "plate 1", by=None)
    assert calendar()["stock.0.shelf_g"] == "0"
    signed_in.post("/workshop/calendar/", calendar(curing_days="4"))
    assert StockMovement.objects.count() == 3  # nobody has counted what is shown as nothing


def test_a_page_posted_twice_books_once(signed_in: Browser) -> None:
    place = "/workshop/calendar/"
    page = fields_of(signed_in.post(place, calendar(add="promised")), promised__0__printer_hours="9")
    for _time in range(2):
        assert signed_in.post(place, page).status_code == 302
    assert Booking.objects.count() == 1


@pytest.mark.parametrize("key", ["", "job 7", "by-hand-grams", "x" * 99])
def test_a_line_under_a_key_that_no_page_gives(signed_in: Browser, key: str) -> None:
    move("job 7", "sold", "firm", amounts(printer_minutes={"Small bed": 60}), words="Screen")
    typed_job = {
        "promised.0.text": "Mine",
        "promised.0.printer": "Small bed",
        "promised.0.printer_hours": "1",
    }
    typed_job |= {"promised.0.people_hours": "0", "promised.0.key": key}
    assert signed_in.post("/workshop/calendar/", calendar(**typed_job)).status_code == 302
    assert [job.words for job in open_jobs(by_hand=True)] == ["Mine"]
    assert open_jobs(by_hand=False)[0].total("printer minutes") == 6_000


def test_jobs_from_elsewhere_are_shown_apart(signed_in: Browser) -> None:
    takes = amounts(
        printer_minutes={"Small bed": 90, "Large bed": 30}, people_minutes={"assembly": 45, "packing": 15},
        grams={"Tea": 250, "Moss": 12.5}, van_days=1,
    )  # fmt: skip
    assert "Jobs booked from proposals" not in signed_in.get("/workshop/calendar/").content.decode()
    ended = today() - timedelta(days=1)
    move("1", "1", "firm", takes, words="Reception <b>backdrop</b>")
    move("2", "2", "held", takes, words="Screen", held_until=today())
    move("3", "3", "held", takes, words="Shelf", held_until=ended)
    move("4", "4", "offered", takes, words="Window")
    move("5", "5", "firm", takes, words="Door")
    move("5", "6", "released")
    move("6", "7", "firm", takes, words="Handed over")
    move("6", "8", "done")
    page = signed_in.get("/workshop/calendar/").content.decode()
    rows = re.findall(r'<tr><th scope="row"><a [^>]*>(.*?)</a></th><td>(.*?)</td><td>(.*?)</td></tr>', page)
    told = [row for row in rows if "h</td><td>" in row[2]]
    voice = voice_of(the_studio())
    assert [(words, stands) for words, stands, _rest in told] == [
        ("Reception &lt;b&gt;backdrop&lt;/b&gt;", "sold"),
        ("Screen", f"held until {voice.day(today())}"),
        ("Door", "in the workshop"),
    ]
    figures = ["Large bed 0.5 h, Small bed 1.5 h", "1.0 h", "Moss 12.5 g, Tea 250 g", "1"]
    assert told[0][2].replace("\u00a0", " ").split("</td><td>") == figures
    assert "Small bed 1.5\u00a0h" in told[0][2]
    assert "promised.0.text" not in page


def test_what_moved_meanwhile_is_not_undone(signed_in: Browser, tam: Browser) -> None:
    """A stale page that says nothing of the shelf or a job leaves both as they became."""
    place = "/workshop/calendar/"
    job = {
        "promised.0.text": "Fern screen",
        "promised.0.printer": "Small bed",
        "promised.0.printer_hours": "40",
    }
    filled = calendar(
        **job, promised__0__people_hours="0", stock__0__shelf_g="800", stock__0__promised_g="90"
    )
    signed_in.post(place, filled)
    stale = fields_of(signed_in.get(place), curing_days="4")
    move_stock("Tea", -30_000, StockMovement.Why.USED, "plate 1", by=None)
    assert tam.post(place, fields_of(tam.get(place), promised__0__printer_hours="12")).status_code == 302
    page = signed_in.post(place, stale, follow=True).content.decode()
    assert "Tam changed Fern screen, printer meanwhile: kept." in page
    assert "Somebody else changed Tea, shelf meanwhile: kept." in page
    shop = current_shop(today())
    assert [(row.shelf_g, row.promised_g) for row in shop.stock] == [(500, 90)]
    assert [(each.printer, each.printer_hours) for each in shop.promised] == [("Small bed", 12)]
    assert StockMovement.objects.count() == 2


def test_a_job_that_is_booked_by_another_path_meanwhile_is_asked_about(signed_in: Browser) -> None:
    """The typed job has become a sold one: hours typed for it into a stale page would count it twice."""
    place = "/workshop/calendar/"
    job = {
        "promised.0.text": "Fern screen",
        "promised.0.printer": "Small bed",
        "promised.0.printer_hours": "40",
    }
    signed_in.post(place, calendar(**job, promised__0__people_hours="0"))
    stale = fields_of(signed_in.get(place), promised__0__printer_hours="50")
    (typed_job,) = open_jobs(by_hand=True)
    move(typed_job.source, "replaced", "cancelled")
    asked = signed_in.post(place, stale)
    assert asked.status_code == 409
    assert signed_in.post(place, fields_of(asked) | {"choose.0": "theirs"}).status_code == 302
    assert open_jobs(by_hand=True) == []
    assert signed_in.post(place, fields_of(asked) | {"choose.0": "mine"}).status_code == 302
    (again,) = open_jobs(by_hand=True)
    assert (again.words, again.total("printer minutes")) == ("Fern screen", 300_000)
    assert again.source != typed_job.source


OUT = {"printer": "Small bed", "count": "1", "from_day": "2026-12-01", "to_day": "2026-12-04", "why": "Belts"}


def out_of_service(**changed: str) -> dict[str, str]:
    return calendar(**{f"out_of_service.0.{name}": text for name, text in (OUT | changed).items()})


def test_printers_out_of_service(signed_in: Browser) -> None:
    page = signed_in.post("/workshop/calendar/", calendar(add="out_of_service"))
    assert fields_of(page)["out_of_service.0.from_day"] == today().isoformat()
    assert signed_in.post("/workshop/calendar/", out_of_service()).status_code == 302
    (out,) = current_shop(today()).out_of_service
    assert (out.printer, out.count, out.to_day, out.why) == ("Small bed", 1, date(2026, 12, 4), "Belts")
    gone = signed_in.post("/workshop/calendar/", calendar(remove="out_of_service.0"))
    assert signed_in.post("/workshop/calendar/", fields_of(gone)).status_code == 302
    assert current_shop(today()).out_of_service == ()


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"to_day": "2026-11-30"}, "It ends before it begins, on 1 December 2026."),
        ({"count": "9"}, "There are 3 of them. 1 to 3"),
        ({"printer": "Attic"}, "No printer is called Attic. One of Small bed"),
        ({"from_day": ""}, "Nothing is given. Give a date"),
    ],
)
def test_a_time_out_of_service_that_cannot_be(signed_in: Browser, changed, said) -> None:
    answer = signed_in.post("/workshop/calendar/", out_of_service(**changed))
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert fields_of(answer)["out_of_service.0.why"] == "Belts"  # what was typed stays typed


def test_what_is_promised_is_typed(signed_in: Browser) -> None:
    typed = calendar(sample_days="14", promise_holds_percent="85")
    assert signed_in.post("/workshop/calendar/", typed).status_code == 302
    shop = current_shop(today())
    assert (shop.start_days, shop.promise_holds_percent) == (14, 85)
    assert "85 of 100 jobs take at most" in signed_in.get("/workshop/calendar/").content.decode()
    answer = signed_in.post("/workshop/calendar/", calendar(promise_holds_percent="100"))
    assert answer.status_code == 422
