"""Plates: every piece once, within bed, minutes and spool; refusals that say what is wrong."""

from collections import Counter
from math import ceil

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.lattice.part import Part
from studio.making.equipment import Filament, Printer
from studio.making.packing import outline_mm2
from studio.making.plate import Plate, lay_out
from studio.making.plate_ways import PlateWays
from studio.making.plates import MOST_PLATES, Job, TooMany, plates_for
from studio.making.toolpath import load_of
from studio.problem import Problem, Refused
from tests.making.made import INDIGO, TEA, part, printer, recipe, right_triangle, slab, triangle
from tests.making.test_packing import assert_apart, placed

SMALL = printer(count=3)
LARGE = printer("Large bed", bed_width_mm=350, bed_depth_mm=350, height_mm=350, longest_run_minutes=1800)


def pieces(plates: tuple[Plate, ...]) -> Counter[int]:
    return sum((Counter({item.part: item.count}) for p in plates for item in p.parts), Counter())


def refusal(*args: object) -> tuple[Problem, ...]:
    with pytest.raises(Refused) as caught:
        plates_for(*args)  # type: ignore[arg-type]
    return caught.value.problems


def test_every_piece_and_spare_lies_on_one_plate_of_its_filament() -> None:
    parts = [
        part(triangle(40), 300, 6, nests="triangle"),
        part(right_triangle(40), 20, 1, nests="triangle"),
        part(triangle(38), 150, 3, filament="Indigo", nests="triangle"),
        part(slab(230, 12), 7, 0, depth_mm=12),
    ]
    plates = plates_for(parts, [SMALL, LARGE], [TEA, INDIGO])
    assert pieces(plates) == {0: 306, 1: 21, 2: 153, 3: 7}
    assert all({parts[item.part].filament for item in p.parts} == {p.filament} for p in plates)
    assert all(p.pieces == sum(item.count for item in p.parts) for p in plates)


def test_seven_plates_when_a_piece_weighs_380_g() -> None:
    # 100 x 100 mm, 30.6452 mm deep and solid, at 1.24 g/cm3: 380 g. Two are 760 g; a third would need another
    # spool.
    block = part(slab(100, 100), 14, depth_mm=380 / 12.4)
    solid = printer(longest_run_minutes=20_000, recipe=recipe(core_density=1))
    plates = plates_for([block], [solid], [TEA])
    assert [p.pieces for p in plates] == [2] * 7
    assert all(p.mass_g == pytest.approx(760, abs=0.01) for p in plates)


def test_plates_are_no_longer_than_the_longest_run_and_even() -> None:
    block = part(slab(40, 40), 17, depth_mm=20)
    alone = (
        plates_for([part(slab(40, 40), 1, depth_mm=20)], [SMALL], [TEA])[0].minutes - SMALL.heat_up_minutes
    )
    limited = printer(longest_run_minutes=SMALL.heat_up_minutes + 8.5 * alone)
    plates = plates_for([block], [limited], [TEA])
    assert [p.pieces for p in plates] == [6, 6, 5]  # 8, 8 and 1 would be as many plates
    assert max(p.minutes for p in plates) <= limited.longest_run_minutes


@pytest.mark.parametrize(("count", "expected"), [(33, [12, 12, 9]), (32, [11, 11, 10])])
def test_a_last_plate_of_four_fifths_is_even_enough(count: int, expected: list[int]) -> None:
    """Of 12, 12 and 9 the last is 0.82 of the mean, though 11, 11 and 11 would be as many plates; of 12, 12
    and 8 it would be 0.75."""
    alone = (
        plates_for([part(slab(40, 40), 1, depth_mm=20)], [SMALL], [TEA])[0].minutes - SMALL.heat_up_minutes
    )
    limited = printer(longest_run_minutes=SMALL.heat_up_minutes + 12.5 * alone)
    plates = plates_for([part(slab(40, 40), count, depth_mm=20)], [limited], [TEA])
    assert [p.pieces for p in plates] == expected


def test_small_pieces_alone_wait_for_their_layers_to_cool() -> None:
    # 20 layers of at least 8 s, and 6 minutes to heat up: a tiny piece takes that, and so do two.
    one, two = (plates_for([part(slab(4, 4), n)], [SMALL], [TEA])[0].minutes for n in (1, 2))
    assert one == two == pytest.approx(6 + 20 * 8 / 60, abs=0.01)


def test_minutes_are_heating_and_layers() -> None:
    its = part(slab(100, 100), 4)
    layers = load_of(its.face, its.depth_mm, SMALL.recipe).seconds
    plate = plates_for([its], [SMALL], [TEA])[0]
    hops = (plate.minutes - 6) * 60 - 4 * layers.sum()
    assert 0 < hops / (4 * 20) < 1.5  # seconds of a hop with retraction, each piece and layer
    assert plate.mass_g == pytest.approx(4 * load_of(its.face, 4, SMALL.recipe).mass_g(1.24), abs=0.01)


def test_work_is_shared_by_the_number_of_printers() -> None:
    plates = plates_for([part(triangle(40), 2000, nests="triangle")], [SMALL, LARGE], [TEA])
    minutes = {
        name: sum(p.minutes for p in plates if p.printer == name) for name in ("Small bed", "Large bed")
    }
    longest = max(p.minutes for p in plates)
    assert abs(minutes["Small bed"] / 3 - minutes["Large bed"]) <= longest


def test_a_filament_goes_only_to_its_printers() -> None:
    bound = Filament(name="Tea", colour="#b98a5a", printers=("Large bed",))
    plates = plates_for([part(triangle(40), 200, nests="triangle")], [SMALL, LARGE], [bound])
    assert {p.printer for p in plates} == {"Large bed"}


def test_a_long_rail_goes_to_the_bed_that_takes_it() -> None:
    parts = [part(slab(300, 12), 2, depth_mm=12), part(triangle(40), 10, nests="triangle")]
    plates = plates_for(parts, [SMALL, LARGE], [TEA])
    assert {p.printer for p in plates if any(item.part == 0 for item in p.parts)} == {"Large bed"}


def test_nothing_to_make_makes_no_plates() -> None:
    assert plates_for([], [SMALL], [TEA]) == ()
    assert plates_for([part(slab(10, 10), 0)], [SMALL], [TEA]) == ()


def test_a_part_too_large_names_itself_and_the_millimetres() -> None:
    (problem,) = refusal(
        [part(slab(400, 30), 1, code="section", pattern="", size="3 × 8")], [SMALL, LARGE], [TEA]
    )
    assert problem.field == "rate_book.printers"
    assert "section 3 × 8 in Tea (400 mm × 30 mm × 4 mm)" in problem.reason
    assert "Small bed: 154 mm too long" in problem.reason
    assert "Large bed: 60 mm too long" in problem.reason


def test_a_part_too_high_says_by_how_much() -> None:
    (problem,) = refusal([part(slab(20, 20), 1, depth_mm=262.5)], [SMALL], [TEA])
    assert "12.5 mm too high" in problem.reason


def test_a_part_as_high_as_the_printer_is_made() -> None:
    full = part(slab(20, 20), 1, depth_mm=SMALL.height_mm)
    assert pieces(plates_for([full], [SMALL], [TEA])) == {0: 1}


def test_one_part_longer_than_the_longest_run_says_its_minutes() -> None:
    (problem,) = refusal([part(slab(200, 200), 1, depth_mm=60)], [printer(longest_run_minutes=60)], [TEA])
    assert "minutes, the longest run is 60" in problem.reason


def test_one_part_heavier_than_a_spool() -> None:
    light = Filament(name="Tea", colour="#b98a5a", spool_g=50)
    (problem,) = refusal([part(slab(200, 200), 1, depth_mm=12)], [SMALL], [light])
    assert "a spool of Tea holds 50 g" in problem.reason


def test_a_part_thinner_than_a_bead() -> None:
    (problem,) = refusal([part(slab(50, 0.4), 1)], [SMALL], [TEA])
    assert "thinner than a bead of 0.45 mm" in problem.reason


def test_filaments_and_printers_that_do_not_exist() -> None:
    stray = Filament(name="Tea", colour="#b98a5a", printers=("Attic",))
    unknown, named = refusal([part(slab(9, 9), 1, filament="Plum"), part(slab(9, 9), 1)], [SMALL], [stray])
    assert unknown.field == "rate_book.filaments"
    assert "“Plum”" in unknown.reason
    assert (named.field, named.reason) == ("rate_book.filaments.Tea.printers", "no printer is called “Attic”")
    assert "Small bed" in named.remedy


def test_a_bead_narrower_than_its_layer() -> None:
    odd = printer(recipe=recipe(bead_mm=0.3, first_layer_mm=0.35))
    (problem,) = refusal([part(slab(9, 9), 1)], [odd], [TEA])
    assert problem.field == "rate_book.printers.Small bed.recipe.bead_mm"


PARTS = st.lists(
    st.builds(
        lambda kind, size, count, filament: {
            "triangle": part(triangle(size), count, 1, filament, nests="triangle", depth_mm=6),
            "half": part(right_triangle(size), count, 1, filament, nests="triangle", depth_mm=6),
            "section": part(slab(4 * size, 3 * size), count // 20 + 1, 0, filament, depth_mm=12),
            "rail": part(slab(230, size / 4), count // 10 + 1, 1, filament, depth_mm=16),
        }[kind],
        st.sampled_from(["triangle", "half", "section", "rail"]),
        st.integers(15, 60),
        st.integers(0, 250),
        st.sampled_from(["Tea", "Indigo"]),
    ),
    min_size=1,
    max_size=5,
)
PRINTERS = st.sampled_from([(SMALL,), (SMALL, LARGE), (LARGE, printer(longest_run_minutes=600, gap_mm=6))])


@settings(max_examples=40)
@given(PARTS, PRINTERS)
def test_plates_hold_every_piece_apart_and_on_the_bed(
    parts: list[Part], printers: tuple[Printer, ...]
) -> None:
    plates = plates_for(parts, printers, [TEA, INDIGO])
    by_name = {p.name: p for p in printers}
    assert pieces(plates) == {i: p.count + p.spares for i, p in enumerate(parts) if p.count + p.spares}
    for plate in plates:
        machine = by_name[plate.printer]
        runs = lay_out(plate, parts, printers)
        assert Counter({item.part: item.count for item in plate.parts}) == sum(
            (Counter({run.part: run.count}) for run in runs), Counter()
        )
        assert_apart(placed(parts, list(runs)), *machine.usable_mm, machine.gap_mm)
        assert plate.minutes <= machine.longest_run_minutes + 0.01
        assert plate.mass_g <= 1000.01
        assert 0 < plate.bed_share <= 1


@settings(max_examples=40)
@given(PARTS)
def test_never_fewer_plates_than_the_area_allows(parts: list[Part]) -> None:
    # Pieces grown by half the gap cannot cover more than the bed grown by as much.
    plates = plates_for(parts, [SMALL], [TEA, INDIGO])
    width, depth = SMALL.usable_mm
    gap = SMALL.gap_mm
    for name in {p.filament for p in plates}:
        own = [p for p in parts if p.filament == name]
        area = sum(outline_mm2(p.face) * (p.count + p.spares) for p in own)
        assert sum(p.filament == name for p in plates) >= ceil(area / ((width + gap) * (depth + gap)) - 1e-9)


def test_the_same_question_gives_the_same_plates() -> None:
    parts = [part(triangle(40), 300, 6, nests="triangle"), part(shapely.box(0, 0, 100, 70), 9)]
    assert plates_for(parts, [SMALL, LARGE], [TEA]) == plates_for(parts, [SMALL, LARGE], [TEA])


def test_as_many_plates_as_a_call_can_wait_for() -> None:
    # Slabs of 200 x 200 mm: one a plate on a bed of 246 mm.
    assert len(plates_for([part(slab(200, 200), MOST_PLATES)], [SMALL], [TEA])) == MOST_PLATES
    parts = [part(slab(200, 200), MOST_PLATES), part(slab(201, 201), 1, filament="Indigo")]
    with pytest.raises(TooMany) as caught:
        plates_for(parts, [SMALL], [TEA, INDIGO])
    (problem,) = caught.value.problems
    assert (problem.field, problem.remedy) == (
        "design.columns",
        "fewer columns or rows, several panels, or larger beds",
    )
    assert "more than the 3,000 plates" in problem.reason


def test_more_pieces_of_the_same_kinds_fill_no_more_kinds_of_plates(monkeypatch: pytest.MonkeyPatch) -> None:
    # Twelve kinds of parts. A plate is filled piece by piece only where the set of kinds left, or the
    # last few of one, is new: that follows the kinds, however many plates repeat them.
    filled, made, fill, follow = [], [], PlateWays._filled, PlateWays._next
    monkeypatch.setattr(PlateWays, "_filled", lambda self, *args: filled.append(args) or fill(self, *args))
    monkeypatch.setattr(PlateWays, "_next", lambda self, *args: made.append(args) or follow(self, *args))
    counts = []
    for times in (1, 4, 16):
        filled.clear()
        made.clear()
        sides = range(60, 120, 5)
        plates = Job([part(slab(side, side), 60 * times + side % 7) for side in sides], [SMALL], [TEA]).full()
        assert len(made) == len(plates)
        counts.append((len(plates), len(filled)))
    (few, first), _, (many, last) = counts
    assert many > 15 * few
    assert last <= first + 2
