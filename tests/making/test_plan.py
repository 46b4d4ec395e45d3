"""The plan adds up: plates, minutes, grams, reprints; and the one door to two decimals."""

from math import expm1

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.bill import Bill
from studio.lattice.fit import Fit
from studio.lattice.part import Part
from studio.making.equipment import Filament
from studio.making.measured import Factor
from studio.making.plan import MakingPlan, make
from studio.making.toolpath import load_of
from studio.problem import Refused
from tests.making.made import INDIGO, TEA, part, printer, slab, triangle

PRINTERS = (printer(count=3), printer("Large bed", bed_width_mm=350, bed_depth_mm=350))
HAZARD = 0.01


def bill(*parts: Part) -> Bill:
    fit = Fit("square", 1, 1, 40.0, 40.0, 40.0, 40.0, 40.0, (0.0, 0.0), "both")
    return Bill(
        fit=fit,
        cells=(0, 0, 0),
        open_cells=0,
        parts=parts,
        sections=(),
        seams=(),
        modules=(),
        backing_area_mm2=0.0,
        light_length_mm=0.0,
        hangers=0,
        colours=0,
    )


def plan(*parts: Part, hazard: float = HAZARD, shelf: dict[str, float] | None = None) -> MakingPlan:
    return make(bill(*parts), PRINTERS, (TEA, INDIGO), hazard, shelf or {})


LEAVES = part(triangle(40), 300, 6, nests="triangle")
OTHERS = part(triangle(38), 150, 3, filament="Indigo", nests="triangle")
SECTIONS = part(slab(230, 200), 4, depth_mm=12, code="section")


def test_the_panel_weighs_its_own_pieces_without_spares() -> None:
    found = plan(LEAVES, OTHERS, SECTIONS)
    recipe = PRINTERS[0].recipe
    each = [load_of(p.face, p.depth_mm, recipe).mass_g(1.24) for p in (LEAVES, OTHERS, SECTIONS)]
    assert found.panel_mass_g == pytest.approx(300 * each[0] + 150 * each[1] + 4 * each[2], abs=0.02)
    uses = {use.filament: use for use in found.filaments}
    assert uses["Tea"].spares_g == pytest.approx(6 * each[0], abs=0.05)
    assert uses["Indigo"].panel_g == pytest.approx(150 * each[1], abs=0.01)


def test_minutes_by_printer_add_up_to_the_plates() -> None:
    found = plan(LEAVES, OTHERS, SECTIONS)
    assert found.print_minutes == pytest.approx(sum(p.minutes for p in found.plates), abs=1e-6)
    assert sum(found.minutes_by_printer.values()) == pytest.approx(found.print_minutes, abs=1e-6)
    assert sum(found.reprint_minutes_by_printer.values()) == pytest.approx(found.reprint_minutes, abs=1e-6)
    assert list(found.reprint_minutes_by_printer) == list(found.minutes_by_printer)


def test_reprints_are_expected_runs_of_whole_plates() -> None:
    found = plan(LEAVES)
    extra = [
        expm1(HAZARD * p.minutes / 60) for p in found.plates
    ]  # p / (1 - p) with p = 1 - exp(-hazard hours)
    assert found.reprint_minutes == pytest.approx(
        sum(p.minutes * runs for p, runs in zip(found.plates, extra, strict=True)), abs=0.02
    )
    assert found.filaments[0].reprints_g == pytest.approx(
        sum(p.mass_g * runs for p, runs in zip(found.plates, extra, strict=True)), abs=0.02
    )


def test_printers_that_never_fail_reprint_nothing() -> None:
    found = plan(LEAVES, hazard=0.0)
    assert (found.reprint_minutes, found.filaments[0].reprints_g) == (0, 0)


def test_the_shelf_changes_what_to_buy_and_nothing_else() -> None:
    empty, full = plan(LEAVES, OTHERS), plan(LEAVES, OTHERS, shelf={"Tea": 5000.0})
    assert [use.spools_to_buy for use in empty.filaments] == [1, 1]
    assert {use.filament: use.spools_to_buy for use in full.filaments} == {"Tea": 0, "Indigo": 1}
    assert (empty.plates, empty.print_minutes, empty.panel_mass_g) == (
        full.plates,
        full.print_minutes,
        full.panel_mass_g,
    )


def test_plates_that_nearly_always_fail_are_refused() -> None:
    with pytest.raises(Refused) as caught:
        plan(part(slab(230, 230), 1, depth_mm=25), hazard=0.5)
    (problem,) = caught.value.problems
    assert problem.field == "rate_book.failures_per_hour"
    assert "at 0.5 failures an hour" in problem.reason


def test_filaments_weigh_by_their_density() -> None:
    heavy = Filament(name="Tea", colour="#b98a5a", density_g_per_cm3=2.48)
    light, dense = plan(LEAVES), make(bill(LEAVES), PRINTERS, (heavy,), HAZARD, {})
    assert dense.panel_mass_g == pytest.approx(2 * light.panel_mass_g, abs=0.02)


@settings(max_examples=25)
@given(
    st.lists(st.tuples(st.integers(15, 60), st.integers(1, 200), st.integers(0, 5)), min_size=1, max_size=4)
)
def test_grams_are_what_the_plates_hold(sizes: list[tuple[int, int, int]]) -> None:
    found = plan(*(part(slab(s, s / 2), n, spares, ("Tea", "Indigo")[s % 2]) for s, n, spares in sizes))
    for use in found.filaments:
        plates = sum(p.mass_g for p in found.plates if p.filament == use.filament)
        assert use.panel_g + use.spares_g == pytest.approx(plates, abs=0.02 + 0.005 * len(found.plates))
    values = [
        found.print_minutes,
        found.reprint_minutes,
        found.panel_mass_g,
        *found.minutes_by_printer.values(),
    ]
    values += [value for use in found.filaments for value in (use.panel_g, use.spares_g, use.reprints_g)]
    values += [value for plate in found.plates for value in (plate.minutes, plate.mass_g)]
    assert all(value == round(value, 2) for value in values)


def test_changes_of_filament_are_their_own_figure() -> None:
    found = plan(LEAVES, OTHERS)
    used = {(p.printer, p.filament) for p in found.plates}
    plates = {key: sum((p.printer, p.filament) == key for p in found.plates) for key in used}
    counts = {"Small bed": 3, "Large bed": 1}
    times = {key: min(number, counts[key[0]]) for key, number in plates.items()}
    assert found.colour_changes == sum(times.values())
    assert found.change_minutes == pytest.approx(5 * found.colour_changes)
    uses = {use.filament: use for use in found.filaments}
    for name in ("Tea", "Indigo"):
        assert uses[name].purge_g == pytest.approx(4 * sum(n for (_, f), n in times.items() if f == name))
    assert found.print_minutes == pytest.approx(sum(p.minutes for p in found.plates))


def test_each_plate_starts_with_its_grams() -> None:
    found = plan(LEAVES, hazard=0.0)
    (use,) = found.filaments
    assert use.starts_g == pytest.approx(0.8 * len(found.plates))
    assert use.mass_g == pytest.approx(use.panel_g + use.spares_g + use.starts_g + use.purge_g)
    again = plan(LEAVES).filaments[0]
    runs = sum(1 + expm1(HAZARD * p.minutes / 60) for p in found.plates)
    assert again.starts_g == pytest.approx(0.8 * runs, abs=0.01)


def test_an_open_spool_must_hold_what_changes_purge_as_well() -> None:
    (use,) = plan(LEAVES, hazard=0.0).filaments
    assert use.purge_g > 0.1
    for spare_g, bought in ((0.05, 0), (-0.05, 1)):
        (again,) = plan(LEAVES, hazard=0.0, shelf={"Tea": use.mass_g + spare_g}).filaments
        assert again.spools_to_buy == bought


def test_energy_is_that_of_the_plates() -> None:
    found = plan(LEAVES, SECTIONS, hazard=0.0)
    watts = sum(6 * 350 + (p.minutes - 6) * 130 for p in found.plates)  # both kinds heat up in 6 minutes
    assert found.energy_kwh == pytest.approx(watts / 60_000, abs=0.01)
    assert found.reprint_energy_kwh == 0
    assert plan(LEAVES, SECTIONS).reprint_energy_kwh > 0


def test_the_plan_says_which_factors_it_used() -> None:
    factors = {("Small bed", "standard"): Factor(1.2, 1.0), ("Attic", "standard"): Factor(2.0, 2.0)}
    slower = make(bill(SECTIONS), PRINTERS, (TEA, INDIGO), HAZARD, {}, factors)
    used = {p.printer for p in slower.plates}
    assert "Small bed" in used
    assert slower.factors == {("Small bed", "standard"): Factor(1.2, 1.0)}
    assert plan(SECTIONS).factors == {}
    heavier = {("Small bed", "standard"): Factor(1.0, 1.1), ("Large bed", "standard"): Factor(1.0, 1.1)}
    dense = make(bill(LEAVES), PRINTERS, (TEA, INDIGO), HAZARD, {}, heavier)
    assert dense.panel_mass_g == pytest.approx(1.1 * plan(LEAVES).panel_mass_g, abs=0.02)
