"""Cost lines that a person can recompute."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import get_args

import pytest

from studio.making.equipment import Filament, Printer
from studio.making.shop import Hours
from studio.money import round_money
from studio.pricing.costs import costs
from studio.pricing.example_rates import example_rate_book
from studio.pricing.labour import STAGES, labour_minutes, stage_minutes
from studio.pricing.quantities import Parcel, count, parcels_of
from studio.pricing.rate_book import Bought, Carrier, Operation
from studio.pricing.rates import machine_hour
from studio.pricing.sheet import Input, PriceLine
from studio.pricing.terms import Delivery, Terms
from tests.pricing.by_hand import a_bill, a_book, a_design, a_plan, quantities

D = Decimal


def lines(counted, book) -> dict[str, PriceLine]:
    return {cost.line.code: cost.line for cost in costs(counted, book)}


def test_machine_hour_of_a_published_exercise() -> None:
    """Costing exercise (Odisha Board) with its solution: cost 16 000, scrap 1 000, life 10 000 h; repairs 120
    and standing charges 40 in 160 h; 4 units of power an hour at 0.05. 1.50 + 0.75 + 0.25 + 0.20 = 2.70. Ours
    has energy on a line of its own: an hour is 2.50, and four kilowatt hours are 0.20."""
    machine = Printer(
        name="M",
        purchase=D(16_000),
        scrap_value=D(1_000),
        life_hours=D(10_000),
        upkeep_per_hour=D(120) / 160 + D(40) / 160,
    )
    assert machine_hour(machine) == D("2.50")
    book = a_book(printers=(machine,), energy_per_kwh=D("0.05"))
    found = lines(quantities(minutes={"M": 60}, energy=4), book)
    assert found["machine.M"].amount + found["machine.energy"].amount == D("2.70")


def test_energy_has_its_own_line() -> None:
    """150 W for 8 h are 1.2 kWh (definition of the unit; counted in making): at 0.30 a kWh 0.36."""
    line = lines(quantities(energy="1.2"), a_book(energy_per_kwh=D("0.30")))["machine.energy"]
    assert (line.quantity, line.unit, line.unit_price, line.amount) == (D("1.2"), "kWh", D("0.30"), D("0.36"))


def test_starts_and_changes_of_filament_cost_material_machine_and_labour() -> None:
    """30 g of starts and purge, 10 minutes of changes on a printer of 6 an hour, two changes of 3 minutes at
    20 an hour."""
    change = Operation(code="change", text="Changing", role="maker", minutes=D(3), per="filament change")
    printer = Printer(name="P", purchase=D(6000), life_hours=D(1000), upkeep_per_hour=D(0))
    counted = quantities(
        grams={"Tea": (970, 0, 0, 30)}, minutes={"P": 50}, changes={"P": 10}, filament_change=2
    )
    found = lines(counted, a_book(cost="20", printers=(printer,), operations=(change,)))
    assert found["material.Tea"].amount == 20
    assert found["machine.P"].amount == 6
    assert found["labour.change"].amount == 2
    assert [item.value for item in found["machine.P"].working.inputs][:2] == ["50 min", "10 min"]


def test_material_is_grams_of_panel_and_spares_at_the_spools_price() -> None:
    tea = Filament(name="Tea", colour="#b98a5a", spool_g=750, price_per_spool=D("18.00"))
    line = lines(quantities(grams={"Tea": ("1480", "20", "0")}), a_book(filaments=(tea,)))["material.Tea"]
    assert (line.quantity, line.unit, line.unit_price, line.amount) == (D("1.5"), "kg", 24, D("36.00"))
    assert [item.value for item in line.working.inputs] == ["1480 g", "20 g", "18 GBP", "750 g"]


def test_labour_is_counted_times_minutes_times_people() -> None:
    place = Operation(code="place", text="Placing", role="maker", minutes=D("0.2"), per="infill")
    hang = Operation(
        code="hang", text="Hanging", role="maker", minutes=D(45), per="hanging", people=2, stage="site"
    )
    book = a_book("18", operations=(place, hang))
    counted = quantities(infill=300, hanging=1, delivery=1)
    assert lines(counted, book)["labour.place"].amount == D("18.00")
    assert lines(counted, book)["labour.hang"].amount == D("27.00")
    assert labour_minutes(counted, book) == 60 + 90


def test_work_on_site_is_ours_only_where_we_hang_but_a_trip_is_a_trip() -> None:
    def op(code, per):
        return Operation(code=code, text=code, role="maker", minutes=D(60), per=per, stage="site")

    book = a_book("20", operations=(op("join", "site joint"), op("drive", "kilometre")))
    carried = lines(quantities(site_joint=2, kilometre=10, delivery=1), book)
    assert (carried["labour.drive"].amount, "labour.join" in carried) == (D("200.00"), False)
    hung = lines(quantities(site_joint=2, kilometre=10, delivery=1, hanging=1), book)
    assert hung["labour.join"].amount == D("40.00")


def test_whole_units_are_rounded_up_once_for_the_panel() -> None:
    glue = Bought(code="glue", text="Glue", price=D("2.40"), quantity=D("0.02"), per="seam key", whole=True)
    strip = Bought(code="strip", text="Strip", price=D(9), unit="m", per="light metre")
    found = lines(quantities(seam_key=101, light_metre="6.25"), a_book(bought=(glue, strip)))
    assert (found["bought.glue"].quantity, found["bought.glue"].amount) == (3, D("7.20"))
    assert (found["bought.strip"].quantity, found["bought.strip"].amount) == (D("6.25"), D("56.25"))


def test_reprints_are_material_and_machine_of_their_own() -> None:
    printer = Printer(name="Small bed", purchase=D(6000), life_hours=D(6000), upkeep_per_hour=D(0), power_w=0)
    counted = quantities(grams={"Tea": ("0", "0", "500")}, reprints={"Small bed": 90})
    found = lines(counted, a_book(printers=(printer,)))
    assert {code for code in found if found[code].group == "reprints"} == {
        "reprints.material.Tea",
        "reprints.machine.Small bed",
    }
    assert found["reprints.material.Tea"].amount == D("10.00")
    assert found["reprints.machine.Small bed"].amount == D("1.50")
    assert "material.Tea" not in found


def test_a_swap_takes_the_minutes_of_the_workshops_hours_reprints_too() -> None:
    """Three plates and 0.5 expected again, 12 minutes each at 20 an hour: 42 minutes, 14.00. What else is
    done by the plate has minutes of its own, and people's hours in its own stage."""
    swap = Operation(code="swap", text="Swapping", role="maker", minutes=None, per="plate")
    wash = Operation(code="wash", text="Washing", role="maker", minutes=D(4), per="plate")
    book = a_book("20", operations=(swap, wash), hours=Hours(swap_minutes=12))
    counted = replace(quantities(plate=3), reprinted_plates=D("0.5"))
    line = lines(counted, book)["labour.swap"]
    assert (line.quantity, line.amount) == (D("0.7"), D("14.00"))
    assert line.working.formula == "((plate + reprints) × minutes × people ÷ 60, to 4 decimals) × maker"
    assert [item.value for item in line.working.inputs] == ["3", "0.5", "12 min", "1", "20 GBP/h"]
    assert stage_minutes(counted, book) == dict.fromkeys(STAGES, 0) | {"printing": D(42), "making": D(14)}


def test_overhead_is_per_billable_hour_and_quoting_is_not_billable() -> None:
    """90 minutes a quote, 40 % won: a won job pays for 225 minutes."""
    book = a_book(
        "10",
        overhead_per_hour=D("6.50"),
        quoting_minutes=D(90),
        quotes_won_percent=D(40),
        quoting_role="maker",
    )
    found = lines(quantities(), book)
    assert (found["quoting"].quantity, found["quoting"].amount) == (D("3.75"), D("37.50"))
    assert (found["overhead"].quantity, found["overhead"].amount) == (1, D("6.50"))


def test_every_rate_says_whose_it_is() -> None:
    book = a_book(set_on={"roles.maker": date(2026, 3, 1)})
    times, minutes, people, rate = lines(quantities(), book)["labour.make"].working.inputs
    assert (times.name, times.value, times.origin) == ("commission", "1", "counted")
    assert (minutes.value, minutes.origin, people.value) == ("60 min", "example rate", "1")
    assert (rate.name, rate.value, rate.origin) == ("maker", "100 GBP/h", "your rate of 2026-03-01")


@pytest.mark.parametrize("delivery", get_args(Delivery))
def test_quantity_times_unit_price_is_the_amount_on_every_line(delivery) -> None:
    terms = Terms(delivery=delivery, distance_km=D("17.3"))
    counted = count(a_bill(880_000.0, 6250.0), a_plan(), a_design("diffuser", lit=True), terms)
    found = costs(counted, example_rate_book())
    assert len(found) > 25
    for cost in found:
        line = cost.line
        assert line.amount == round_money(line.quantity * line.unit_price, "GBP"), line.code
        assert line.quantity > 0
        assert line.working.inputs


@pytest.mark.parametrize(
    ("delivery", "minutes"),
    [
        ("collected", {}),
        ("sent by carrier", {}),
        ("delivered", {"load": 25, "travel": 60}),
        ("delivered and hung", {"load": 25, "travel": 60, "install": 240, "join-on-site": 20}),
    ],
)
def test_a_panel_is_carried_in_although_its_client_hangs_it(delivery, minutes) -> None:
    """20 km there and back by two people at 1.5 minutes; two people hang two modules for an hour each."""
    counted = count(a_bill(), a_plan(), a_design(), Terms(delivery=delivery, distance_km=D(10)))
    book = example_rate_book()
    found = lines(counted, book)
    site = {each.code for each in book.operations if each.stage == "site"}
    billed = {code: found[f"labour.{code}"].quantity * 60 for code in site if f"labour.{code}" in found}
    assert billed == pytest.approx(minutes, abs=0.5)


def test_minutes_by_stage_make_up_the_labour() -> None:
    counted = count(a_bill(), a_plan(), a_design(), Terms(distance_km=D(10)))
    book = example_rate_book()
    stages = stage_minutes(counted, book)
    assert sum(stages.values()) == labour_minutes(counted, book)
    assert stages["before"] == 60 + 30 + 100 + 3 * 8  # survey, 20 km to it and back, design, three samples
    assert stages["after"] == 2 * 20 + 20  # packing two modules, hand-over
    # load, 20 km by two people, two people hang two modules, and join once
    assert stages["site"] == 25 + 2 * 30 + 2 * 2 * 60 + 2 * 10


def test_a_panel_is_backed_wired_and_hung_module_by_module() -> None:
    """Three modules: 3 x 25 and 3 x 35 minutes of one person, 3 x 60 of two; supply and sheets for dust are
    bought once."""
    jobs = (("back", "backed panel", 25, 1), ("wire", "lit panel", 35, 1), ("hang", "hanging", 60, 2))
    operations = tuple(
        Operation(code=code, text=code, role="maker", minutes=D(minutes), per=per, people=people)
        for code, per, minutes, people in jobs
    )
    bought = tuple(
        Bought(code=code, text=code, price=D(10), per=per)
        for code, per in (("supply", "lit panel"), ("sheets", "hanging"))
    )
    counts = {"backed_panel": 1, "lit_panel": 1, "hanging": 1, "module": 3}
    found = lines(quantities(**counts), a_book(operations=operations, bought=bought))
    quantity = {code: found[code].quantity for code in ("labour.back", "labour.wire", "labour.hang")}
    assert quantity == {"labour.back": D("1.25"), "labour.wire": D("1.75"), "labour.hang": D(6)}
    assert found["labour.hang"].working.inputs[0] == Input("hung module", "3", "brief")
    assert [found[f"bought.{code}"].quantity for code in ("supply", "sheets")] == [1, 1]


ROWS = (
    Carrier(text="Small", up_to_mm=800, up_to_g=1000, price=D(12)),
    Carrier(text="Long", up_to_mm=1500, up_to_g=1000, price=D(20)),
    Carrier(text="Heavy", up_to_mm=800, up_to_g=9000, price=D(15)),
    Carrier(text="Dear", up_to_mm=5000, up_to_g=9000, price=D(90)),
)


@pytest.mark.parametrize(
    ("sides", "rows"),
    [
        ([(800, 1000), (700, 1000)], {"Small": 2}),  # both limits may be met
        ([(800.01, 500)], {"Long": 1}),
        ([(600, 1000.01), (600, 20)], {"Heavy": 1, "Small": 1}),
        ([(1500, 1001)], {"Dear": 1}),
    ],
)
def test_each_module_goes_by_the_cheapest_row_that_takes_it(sides, rows) -> None:
    parcels = tuple(Parcel(*side) for side in sides)
    found = costs(replace(quantities(), parcels=parcels), a_book(carrier=ROWS[::-1]))
    carried = {cost.line.text: cost for cost in found if cost.line.code.startswith("carrier.")}
    assert {text: cost.line.quantity for text, cost in carried.items()} == rows
    prices = {row.text: row.price for row in ROWS}
    assert all(cost.line.amount == prices[text] * rows[text] for text, cost in carried.items())
    assert {cost.heading for cost in carried.values()} == {"delivery"}


def test_a_module_is_a_parcel_of_its_share_of_the_mass() -> None:
    """Two modules of 600 by 750 mm of one size share 2400 g."""
    assert parcels_of(a_bill(), 2400.0) == (Parcel(750.0, 1200.0), Parcel(750.0, 1200.0))
