"""What is counted, from a bill and a plan made by hand."""

from dataclasses import replace
from decimal import Decimal

import pytest

from studio.pricing.quantities import Grams, count, hundredths
from studio.pricing.terms import Terms
from tests.pricing.by_hand import a_bill, a_design, a_plan

D = Decimal


def test_pieces_seams_and_sizes_are_counted() -> None:
    counts = count(a_bill(), a_plan(), a_design(), Terms()).counts
    assert counts["infill"] == 300  # spares are made, not placed; a rail is no infill
    assert counts["square metre"] == D("0.9")
    assert (counts["plate"], counts["section"], counts["seam key"]) == (3, 2, 8)
    assert (counts["site joint"], counts["module"], counts["colour"], counts["hanger"]) == (1, 2, 3, 3)


def test_no_edging_is_nothing_to_fit() -> None:
    edged, bare = (
        count(a_bill(), a_plan(), replace(a_design(), edging_width_mm=D(width)), Terms()).counts
        for width in (12, 0)
    )
    assert (edged["edged module"], bare["edged module"], bare["module"]) == (2, 0, 2)


def test_infills_held_by_glue_are_counted_apart() -> None:
    bill = a_bill()
    glued = replace(bill.parts[0], holding="glue dot")  # 100 of the 300 infills
    counts = count(replace(bill, parts=(glued, *bill.parts[1:])), a_plan(), a_design(), Terms()).counts
    assert (counts["infill"], counts["glued infill"]) == (300, 100)


def test_minutes_and_grams_come_in_at_two_decimals() -> None:
    found = count(a_bill(), a_plan(), a_design(), Terms())
    assert found.minutes == {"Small bed": D("1500.0"), "Large bed": D("300.0")}
    assert found.reprint_minutes == {"Small bed": D("90.0")}
    assert found.grams["Tea"] == Grams(D("900.11"), hundredths(20.005), D("40.0"))
    assert all(-value.as_tuple().exponent <= 2 for value in found.minutes.values())


@pytest.mark.parametrize(
    ("delivery", "kilometres", "delivered", "hung"),
    [
        ("collected", 0, 0, 0),
        ("sent by carrier", 0, 0, 0),
        ("delivered", 37, 1, 0),
        ("delivered and hung", 37, 1, 1),
    ],
)
def test_one_trip_there_and_back_even_when_we_also_hang(delivery, kilometres, delivered, hung) -> None:
    found = count(a_bill(), a_plan(), a_design(), Terms(delivery=delivery, distance_km=D("18.5")))
    assert found.counts["kilometre"] == kilometres
    assert found.counts["survey kilometre"] == 37  # somebody measures first, whoever fetches the panel
    assert (found.counts["delivery"], found.counts["hanging"], found.hung) == (delivered, hung, bool(hung))


@pytest.mark.parametrize(
    ("survey", "trips", "kilometres", "sent"),
    [("trip", 1, 37, 0), ("by the client", 0, 0, 1), ("none", 0, 0, 0)],
)
def test_a_survey_is_a_trip_or_the_clients_measurements_or_none(survey, trips, kilometres, sent) -> None:
    counts = count(a_bill(), a_plan(), a_design(), Terms(survey=survey, distance_km=D("18.5"))).counts
    assert (counts["survey"], counts["survey kilometre"]) == (trips, kilometres)
    assert (counts["measurements sent"], counts["kilometre"]) == (sent, 37)


def test_backing_is_a_sheet_or_a_diffuser() -> None:
    bill = a_bill(backing_area_mm2=880_000.0, light_length_mm=6250.0)
    sheet = count(bill, a_plan(), a_design(backing="sheet"), Terms()).counts
    lit = count(bill, a_plan(), a_design(backing="diffuser", lit=True), Terms()).counts
    assert (sheet["backed panel"], sheet["sheet square metre"], sheet["diffuser square metre"]) == (
        1,
        D("0.88"),
        0,
    )
    assert (lit["backed panel"], lit["sheet square metre"], lit["diffuser square metre"]) == (1, 0, D("0.88"))
    assert (sheet["lit panel"], lit["lit panel"], lit["light metre"]) == (0, 1, D("6.25"))
