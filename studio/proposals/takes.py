"""What an approved option takes from the workshop: from its frozen figures, and as a person confirms it."""

from collections.abc import Iterator, Mapping
from dataclasses import field
from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field

from studio.document import document
from studio.making.booked import Amounts, Kind, State, amounts

__all__ = ["BECOMES", "Taken", "frozen_amounts", "most_demanding", "told_amounts"]

PER_HOUR, HUNDREDTHS = 6000, 100
BECOMES: Mapping[State, str] = {
    "firm": "sold",
    "released": "in the workshop",
    "done": "made: it takes nothing any more",
    "cancelled": "not made, for good",
}
"""What becomes of a job that was sold, in words."""
Hours = Annotated[Decimal, Field(ge=0, le=10**5, decimal_places=4)]
Name = Annotated[str, Field(max_length=80)]


@document
class _Hours:
    name: Name = ""
    hours: Hours = Decimal(0)


@document
class _Grams:
    name: Name
    grams: Annotated[Decimal, Field(ge=0, le=10**7, decimal_places=2)] = Decimal(0)


@document
class Taken:
    """Hours by printer kind, people's hours by stage of work (empty where that is not told), grams by
    filament and days of the van, as a person confirms them; `replaces` are sources of jobs typed by hand
    which this one is, `replaces_grams` whether its grams are among those typed as promised. What is booked
    already was read after so many `steps`, and is in `state` from now on."""

    printers: tuple[_Hours, ...] = ()
    people: tuple[_Hours, ...] = ()
    filaments: tuple[_Grams, ...] = ()
    van_days: Annotated[Decimal, Field(ge=0, le=1000, decimal_places=2)] = Decimal(0)
    replaces: dict[str, bool] = field(default_factory=dict)
    replaces_grams: bool = False
    steps: Annotated[int, Field(ge=0, le=10**6)] = 0
    state: State = "firm"

    @property
    def amounts(self) -> Amounts:
        return amounts(
            printer_minutes={row.name: 60 * row.hours for row in self.printers},
            people_minutes={row.name: 60 * row.hours for row in self.people},
            grams={row.name: row.grams for row in self.filaments},
            van_days=self.van_days,
        )

    @classmethod
    def values(cls, takes: Amounts) -> dict[str, Any]:
        """Texts that a form begins with, from which the same amounts come back: four places of an hour are
        enough for hundredths of a minute."""
        return {
            "printers": list(_rows(takes, "printer minutes", "hours", PER_HOUR)),
            "people": list(_rows(takes, "people minutes", "hours", PER_HOUR)),
            "filaments": list(_rows(takes, "grams", "grams", HUNDREDTHS)),
            "van_days": _text(takes.get(("van days", ""), 0), HUNDREDTHS),
        }


def _rows(takes: Amounts, kind: Kind, unit: str, parts: int) -> Iterator[dict[str, str]]:
    for (each, name), hundredths in takes.items():
        if each == kind:
            yield {"name": name, unit: _text(hundredths, parts)}


def _text(hundredths: int, parts: int) -> str:
    return f"{Decimal(hundredths) / parts:.4f}".rstrip("0").rstrip(".")


def frozen_amounts(making: Mapping[str, Any]) -> Amounts:
    """What one option takes by its frozen `making`: expected reprints and changes of filament included."""
    people: dict[str, Decimal] = {}
    for row in making["labour"]:
        people[row["stage"]] = people.get(row["stage"], Decimal(0)) + Decimal(row["minutes"])
    parts = ("print_minutes", "reprint_minutes", "change_minutes")
    return amounts(
        printer_minutes={
            row["printer"]: sum(Decimal(str(row[part])) for part in parts)
            for row in making["printer_minutes"]
        },
        people_minutes=people,
        grams={row["filament"]: row["mass_g"] for row in making["filaments"]},
        van_days=making["van_days"],
    )


def most_demanding(making: Mapping[str, Mapping[str, Any]]) -> tuple[str, Amounts]:
    """The option of an issue, by its letter, that takes most of the printers, then of people's time."""
    options = [(letter, frozen_amounts(making[letter])) for letter in sorted(making)]
    return max(options, key=lambda option: (_total(option[1], "printer"), _total(option[1], "people")))


def _total(takes: Amounts, of: str) -> int:
    return sum(hundredths for (kind, _name), hundredths in takes.items() if kind.startswith(of))


def told_amounts(option: Mapping[str, Any]) -> Amounts:
    """What the figures of schema 1 tell of an option, for a person to confirm: hours as they were priced,
    people's without their stages, grams as planned. They tell no days of a van: one is a first guess where
    the panel is brought."""
    found = option["estimate"]
    return amounts(
        printer_minutes=_machine_minutes(found["lines"]),
        people_minutes={"": found["labour_minutes"]},
        grams={use["name"]: use["mass_g"] for use in found["filament"]},
        van_days=int(option["terms"]["delivery"] != "collected"),
    )


def _machine_minutes(lines: list[dict[str, Any]]) -> dict[str, Decimal]:
    """Lines of printing are "machine.NAME", those of reprints "reprints.machine.NAME", in hours; that of the
    energy is in kWh."""
    minutes: dict[str, Decimal] = {}
    for line in lines:
        start, found, name = line["code"].partition("machine.")
        if found and start in ("", "reprints.") and line["unit"] == "h":
            minutes[name] = minutes.get(name, Decimal(0)) + 60 * Decimal(line["quantity"])
    return minutes
