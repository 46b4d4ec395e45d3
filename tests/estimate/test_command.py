"""The command-line door: what it prints, and what it says of a bad file."""

import io
import json
from copy import deepcopy
from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.management import call_command

from studio.estimate.estimate import question_digest
from studio.estimate.example import example_question
from studio.stored.questions import read_question, written_question
from studio.workshop.clock import today

KEYS = {
    "fit", "cells", "infills", "sections", "filament", "plates", "print_minutes", "labour_minutes",
    "panel_mass_g",
    "lines", "client_lines", "net", "tax", "gross", "deposits", "ready_on",
}  # fmt: skip


def run(document, tmp_path, name="question.json"):
    """(exit status, standard output, standard error) of `manage.py estimate FILE`."""
    path = tmp_path / name
    path.write_text(document if isinstance(document, str) else json.dumps(document))
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command("estimate", str(path), stdout=out, stderr=err, no_color=True)
    except SystemExit as stop:
        return stop.code, out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


@pytest.fixture
def example():
    return deepcopy(written_question(example_question()))


def test_the_printed_example_can_be_fed_back(tmp_path):
    out = io.StringIO()
    call_command("estimate", "--example", stdout=out)
    status, printed, _ = run(out.getvalue(), tmp_path)
    assert status == 0
    found = json.loads(printed)
    assert found.keys() >= KEYS
    assert {
        "lattice",
        "columns",
        "rows",
        "cell_side_mm",
        "width_mm",
        "height_mm",
        "left_over_mm",
        "symmetry",
    } <= (found["fit"].keys())


def test_what_is_printed_adds_up(example, tmp_path):
    found = json.loads(run(example, tmp_path)[1])
    net, tax, gross = (Decimal(found[key]) for key in ("net", "tax", "gross"))
    assert sum(Decimal(line["amount"]) for line in found["lines"]) == net
    assert sum(Decimal(line["amount"]) for line in found["client_lines"]) == net
    assert net + tax == gross
    assert sum(Decimal(part["gross"]) for part in found["deposits"]) == gross
    cells = found["cells"]
    assert (
        sum(row["count"] for row in found["infills"]) + cells["open"]
        == cells["whole"] + cells["half"] + cells["quarter"]
    )


def test_nobody_sees_binary_noise(example, tmp_path):
    found = json.loads(run(example, tmp_path)[1])
    for number in [
        found["print_minutes"],
        found["panel_mass_g"],
        *(plate["mass_g"] for plate in found["plates"]),
    ]:
        assert Decimal(str(number)) == Decimal(str(number)).quantize(Decimal("0.01"))


def put(document, path, value):
    *parents, last = path
    for key in parents:
        document = document[key]
    if value is KeyError:
        del document[last]
    else:
        document[last] = value


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        (
            ("brief", "space", "widths_mm"),
            ["0"],
            "brief.space.widths_mm.0: found 0 mm; give at least 50 mm",
        ),
        (("brief", "space", "widths_mm"), ["-5"], "brief.space.widths_mm.0: found -5 mm"),
        (("brief", "space", "widths_mm"), [0.1], "brief.space.widths_mm.0: found 0.1 mm"),
        (
            ("brief", "space", "heights_mm"),
            [10_000_000],
            "brief.space.heights_mm.0: found 10000000 mm; give at most 20000 mm",
        ),
        (
            ("brief", "space", "heights_mm"),
            [],
            "brief.space.heights_mm: the list is empty; give at least 1 of them",
        ),
        (
            ("brief", "space", "heights_mm"),
            ["tall"],
            "brief.space.heights_mm.0: found “tall”; give a number",
        ),
        (("brief", "space", "heights_mm"), ["1,2"], "brief.space.heights_mm.0: found “1,2”; give a number"),
        (("brief", "space", "widths_mm"), ["50"], "brief.space.widths_mm: "),
        (("brief", "design", "cell_side_mm"), "NaN", "brief.design.cell_side_mm: found “NaN”"),
        (("brief", "design", "colour"), "red", "brief.design.colour: this key is not known"),
        (
            ("brief", "design", "lattice_filament"),
            KeyError,
            "brief.design.lattice_filament: this key is missing; add it",
        ),
        (
            ("brief", "design", "lattice_filament"),
            "Unobtainable",
            "there is no filament called “Unobtainable”",
        ),
        (("brief", "design", "arrangement", "field", "pattern"), "no such", "brief.design.arrangement"),
        (("brief", "terms", "currency"), "EUR", "brief.terms.currency: "),
        (("brief", "terms", "tax"), "made-up", "brief.terms.tax: "),
        (("rate_book", "printers"), [], "rate_book.printers: the list is empty"),
        (("as_of",), "yesterday", "as_of: found “yesterday”"),
        (("brief", "title"), "x" * 2001, "brief.title: found"),
        (("brief", "title"), "\ud800", "brief.title: found “\\ud800”; give a text of whole characters"),
        (("brief", "design", "columns"), True, "brief.design.columns: found true; give a number"),
        (
            ("brief", "design", "edging_width_mm"),
            "0.3",
            "found 0.3 mm; give 0 mm for no edging, or at least 1 mm",
        ),
        (("brief", "design", "lattice_filament"), "a\x1b[2J\nb", "no filament called “a [2J b”"),
        (("brief", "space", "widths_mm"), "1200", "brief.space.widths_mm: found 1200 mm; give a list"),
        (
            ("brief", "design", "arrangement"),
            {},
            "arrangement: found an object without keys; add the key 'kind'",
        ),
        (("rate_book", "roles"), {"": "1"}, "rate_book.roles: nothing is given"),
        (("rate_book", "quotes_won_percent"), "1e-30", "give at least 1"),
        (("rate_book", "printers", 0, "life_hours"), "1e-30", "give at least 1"),
        (("rate_book", "operations", 3, "minutes"), "1" * 5000, "found a text of 5000 characters"),
    ],
)
def test_a_bad_key_is_named_with_what_was_found(example, tmp_path, path, value, says):
    put(example, path, value)
    status, printed, error = run(example, tmp_path)
    assert status == 2
    assert printed == ""
    assert error.count("\n") == 1
    assert says in error
    assert "Traceback" not in error


@pytest.mark.parametrize("days", [0, 1])
def test_a_start_today_or_later_is_nothing_to_warn_of(example, tmp_path, days):
    example["as_of"] = (today() + timedelta(days=days)).isoformat()
    assert run(example, tmp_path)[2] == ""


def test_a_start_in_the_past_is_answered_with_a_warning(example, tmp_path):
    example["as_of"] = "2026-03-02"
    status, printed, error = run(example, tmp_path)
    assert status == 0
    assert json.loads(printed)["as_of"] == "2026-03-02"
    ago = f"2026-03-02 is {(today() - example_question().as_of).days} days ago: nothing can start then"
    assert error == f"estimate: warning: as_of: {ago}; {today().isoformat()} or later\n"


def test_a_bed_smaller_than_a_section_can_be(example, tmp_path):
    for printer in example["rate_book"]["printers"]:
        printer.update(bed_width_mm=50, bed_depth_mm=50, margin_mm=5)
    status, _, error = run(example, tmp_path)
    assert status == 2
    assert "rate_book.printers" in error
    assert "mm" in error


def test_a_panel_of_too_many_plates(example, tmp_path):
    example["brief"]["space"].update(widths_mm=["20000"], heights_mm=["6000"], mounting="free-standing")
    example["brief"]["design"]["cell_side_mm"] = 160
    status, out, error = run(example, tmp_path)
    assert (status, out) == (2, "")
    assert error.startswith("estimate: brief.design.columns: this takes more than the 3,000 plates")


def test_a_filament_without_a_price(example, tmp_path):
    for filament in example["rate_book"]["filaments"]:
        filament["price_per_spool"] = None
    status, _, error = run(example, tmp_path)
    assert status == 2
    assert "rate_book.filaments" in error


@pytest.mark.parametrize(
    "text", ["", "{", "1" * 5000, "[]", "3", '"brief"', "[" * 50_000, '{"as_of": 1e999999}']
)
def test_what_is_not_a_question_is_refused(text, tmp_path):
    status, _, error = run(text, tmp_path)
    assert status == 2
    assert error.startswith("estimate: ")


def test_a_file_that_is_not_there(capsys):
    err = io.StringIO()
    with pytest.raises(SystemExit) as stop:
        call_command("estimate", "nowhere.json", stderr=err, no_color=True)
    assert stop.value.code == 2
    assert "nowhere.json cannot be read" in err.getvalue()


def test_markup_and_emoji_in_a_title_stay_text(example, tmp_path):
    example["brief"]["title"] = "<b>Ticket</b> hall 🚂 & co"
    status, printed, _ = run(example, tmp_path)
    assert status == 0
    assert json.loads(printed)["title"] == "<b>Ticket</b> hall 🚂 & co"


def test_files_of_before_are_read_as_they_were_meant(example, tmp_path):
    """Without schemas, with `measured` and plain answers; 2 % as the rate book then had it."""
    assert (example["brief"]["space"]["schema"], example["rate_book"]["schema"]) == (2, 3)
    space, book = example["brief"]["space"], example["rate_book"]
    for name in (
        "schema",
        "width_origin",
        "height_origin",
        "photograph_mm",
        "diagonals_mm",
        "out_of_plumb_mm",
    ):
        del space[name]
    space |= {"measured": False, "public_room": True, "near_heat": False}
    del book["schema"], book["uncertainty"]
    book["unmeasured_percent"] = "2"
    found = json.loads(run(example, tmp_path)[1])
    low, high = map(Decimal, found["price_range"]["gross"])
    assert low < Decimal(found["gross"]) < high
    assert any(text.startswith("Rooms open to the public") for text in found["cautions"])
    assert any("not known yet whether this space has a heat" in text for text in found["cautions"])
    space["measured"] = True
    again = json.loads(run(example, tmp_path)[1])
    assert (again["price_range"], again["gross"]) == (None, found["gross"])


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        (("brief", "space", "schema"), 9, "brief.space: it was stored by a newer program (schema 9"),
        (("rate_book", "schema"), "x", "rate_book.schema: found “x”"),
        (("brief", "space"), {"measured": "perhaps"}, "brief.space.measured: found “perhaps”; give true"),
        (("brief", "space", "diagonals_mm"), ["900"], "brief.space.diagonals_mm: "),
        (("brief",), [], "brief: the list is empty; give an object with keys"),
    ],
)  # fmt: skip
def test_parts_of_another_schema_say_where(example, tmp_path, path, value, says):
    put(example, path, value)
    status, printed, complaint = run(example, tmp_path)
    assert (status, printed) == (2, "")
    assert says in complaint


def test_a_filaments_mass_is_the_sum_of_what_it_goes_into(example, tmp_path):
    for printer in example["rate_book"]["printers"]:
        printer["purge_g"] = 12.5
    found = json.loads(run(example, tmp_path)[1])
    parts = ("panel_g", "spares_g", "starts_g", "purge_g", "reprints_g")
    for use in found["filament"]:
        assert use["mass_g"] == pytest.approx(sum(use[part] for part in parts), abs=1e-9)
        assert use["starts_g"] > 0
    assert sum(use["panel_g"] for use in found["filament"]) == pytest.approx(found["panel_mass_g"], abs=0.01)


@pytest.mark.parametrize(
    ("path", "written", "mm"),
    [
        (("brief", "space", "widths_mm", 0), ["1200", 1200, 1200.0, "1200.00", "1200 mm", "1.2 m"], "1200"),
        (("brief", "space", "heights_mm", 0), ["47 1/4 in", "1200.15", '47 1/4"', "120.015 cm"], "1200.15"),
        (("brief", "design", "cell_side_mm"), ["44", 44.0, "4.4 cm", "44.0 mm"], "44"),
        (("rate_book", "printers", 0, "bed_width_mm"), [256, "256", "25.6 cm"], "256"),
        (("rate_book", "printers", 0, "gap_mm"), [0, 0.0, "0", "0 mm", '0"'], "0"),
        (
            ("rate_book", "printers", 0, "recipe", "layer_mm"),
            [0.125, "0.125", "0.125 mm", "0.0125 cm"],
            "0.125",
        ),
        (("rate_book", "carrier", 0, "up_to_mm"), ["25000", 25e3, "25 m"], "25000"),
        (("brief", "space", "gap_mm"), [0, "0.00", "0 mm", "0 in"], "0"),
    ],
)
def test_a_length_has_one_digest_however_it_is_written(example, tmp_path, path, written, mm):
    """25.4 x 47.25 = 1200.15."""
    digests = set()
    for text in (*written, mm):
        place = example
        for key in path[:-1]:
            place = place[key]
        place[path[-1]] = text
        question = read_question(json.dumps(example))
        digests.add(question_digest(question.brief, question.rate_book, question.shop_state, question.as_of))
    assert len(digests) == 1
    place[path[-1]] = "50" if mm != "0.125" else "0.5"
    other = read_question(json.dumps(example))
    assert question_digest(other.brief, other.rate_book, other.shop_state, other.as_of) not in digests


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("about 1200", "brief.space.widths_mm.0: “about 1200” is about right; give the length, and where it"),
        ("12 furlongs", "brief.space.widths_mm.0: “12 furlongs” is not a length; write a length such as"),
        ("1 m 3 in", "brief.space.widths_mm.0: "),
        ("25 m", "brief.space.widths_mm.0: found 25000 mm; give at most 20000 mm"),
        ("0.05 mm", "brief.space.widths_mm.0: found 0.05 mm; give at least 50 mm"),
        ("0 mm", "brief.space.widths_mm.0: found 0 mm; give at least 50 mm"),
    ],
)
def test_what_is_no_length_is_told_at_its_key(example, tmp_path, text, says):
    example["brief"]["space"]["widths_mm"][0] = text
    status, out, err = run(example, tmp_path)
    assert (status, out) == (2, "")
    assert says in err


def test_a_key_that_is_there_twice_is_refused_by_its_name(example, tmp_path):
    text = json.dumps(example).replace('"gap_mm": "5"', '"gap_mm": "5", "gap_mm": "9"')
    status, out, err = run(text, tmp_path)
    assert (status, out) == (2, "")
    assert "gap_mm: this key is there 2 times in one object; keep one of them" in err
