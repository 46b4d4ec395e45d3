"""Changes of filament, counted by hand."""

from dataclasses import replace

from studio.making.changes import changes_of, with_changes
from studio.making.plate import Plate
from tests.making.made import printer

THREE, ONE = printer("Small bed", count=3, change_minutes=5, purge_g=4), printer("Large bed", purge_g=10)


def plate(printer_name: str, filament: str) -> Plate:
    return Plate(printer_name, filament, (), 1, 60.0, 10.0, 0.5)


def test_each_printer_that_prints_a_filament_changes_once() -> None:
    # Seven plates of Tea on three printers: three changes. Two of Indigo: two. One of Tea on the large bed.
    plates = (
        [plate("Small bed", "Tea")] * 7 + [plate("Small bed", "Indigo")] * 2 + [plate("Large bed", "Tea")]
    )
    found = changes_of(plates, (THREE, ONE))
    assert [(c.printer.name, c.filament, c.times) for c in found] == [
        ("Small bed", "Tea", 3),
        ("Small bed", "Indigo", 2),
        ("Large bed", "Tea", 1),
    ]
    assert [(c.minutes, c.purge_g) for c in found] == [(15, 12), (10, 8), (5, 10)]


def test_no_plates_no_changes() -> None:
    assert changes_of([], (THREE, ONE)) == ()


def test_the_longest_plates_of_a_filament_begin_with_the_change() -> None:
    # On three printers the three longest of Tea take 5 minutes more, as do the others.
    minutes = [60.0, 90.0, 80.0, 70.0]
    tea = [replace(plate("Small bed", "Tea"), minutes=each) for each in minutes]
    found = with_changes([*tea, plate("Small bed", "Indigo"), plate("Large bed", "Tea")], (THREE, ONE))
    assert [each.minutes for each in found] == [60, 95, 85, 75, 65, 65]
    assert [each.filament for each in found] == ["Tea"] * 4 + ["Indigo", "Tea"]
