"""Every kind of lattice and arrangement as words of the call page."""

import re
from html import unescape
from typing import Any

import pytest
from django.test import Client as Browser

from studio.commissions.estimating import design_of
from studio.commissions.models import Option
from studio.commissions.words import ARRANGEMENTS
from studio.lattice.design import Bands, Drift, Rings
from tests.commissions.conftest import Words, undo

pytestmark = pytest.mark.one_engine

HTMX = {"HX-Request": "true"}


def spoken(page: str) -> str:
    """The paragraph as a listener hears it: every field as its text."""
    text = page.partition('<div class="spoken">')[2].partition("<details")[0]
    text = re.sub(r"<label.*?</label>|<button.*?</button>|<input type=\"hidden\"[^>]*>", "", text, flags=re.S)
    text = re.sub(r"<select.*?<option [^>]*selected>(.*?)</option>.*?</select>", r"\1", text, flags=re.S)
    text = re.sub(r'<input [^>]*value="(.*?)"[^>]*>', r"\1", text)
    return re.sub(r"\s+", " ", re.sub("<[^>]+>", "", text)).strip()


def kind(name: str) -> dict[str, str]:
    return {"design.arrangement.kind": name}


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("all over", "Hemp leaf in tea all over."),
        ("border and field", "Hemp leaf in tea with a border of 2 cells of basket weave in indigo."),
        (
            "bands",
            "It is laid in bands upright: 3 columns of hemp leaf in tea and 3 of basket weave in indigo.",
        ),
        (
            "rings",
            "It is laid in rings round the middle: 3 cells of hemp leaf in tea and 3 of basket weave in "
            "indigo.",
        ),
        ("drift", "Hemp leaf in tea drifting to the right into basket weave in indigo."),
        ("rosettes", "Basket weave in indigo in rosettes every 3 cells, hemp leaf in tea around them."),
        ("alternating", "Hemp leaf in tea and basket weave in indigo by turns."),
    ],
)
def test_every_arrangement_reads_like_speech(
    signed_in: Browser, address: str, words: Words, name: str, said: str
) -> None:
    answer = signed_in.post(address, words(**kind(name)), headers=HTMX)
    assert answer.status_code == 200
    page = signed_in.get(address).content.decode()
    assert f"as large as fits. {said} The lattice is walnut" in spoken(page)
    assert all(f'<option value="{value}"' in page for value in ARRANGEMENTS)


@pytest.mark.parametrize("name", [name for name in ARRANGEMENTS if name != "border and field"])
def test_every_field_of_an_arrangement_is_on_the_page(
    signed_in: Browser, address: str, words: Words, name: str
) -> None:
    """What is not on the page would be lost with the next word that changes."""
    changed = signed_in.post(address, words(**kind(name)), headers=HTMX).content.decode()
    fields = [field for field in words() if field.startswith("design.arrangement.")]
    assert len(fields) >= 3
    assert [field for field in fields if changed.count(f'name="{field}"') != 1] == []
    labels = set(re.findall(r'<label for="([^"]+)"', changed))
    hidden = set(re.findall(r'<input type="hidden" name="([^"]+)"', changed))
    assert [f for f in fields if "f-" + re.sub(r"\W|_", "-", f) not in labels and f not in hidden] == []


@pytest.mark.parametrize(
    ("lattice", "said"),
    [
        (
            "three-way turned",
            "A turned three-way lattice of 44 mm cells (44.5 mm as it fits), with level strips, for an "
            "opening 600 mm wide",
        ),
        ("square", "A square lattice of 44 mm cells (46 mm as it fits) for an opening 600 mm wide"),
        (
            "diamond",
            "A diamond lattice of 60° cells, 44 mm a side (46 mm as it fits), for an opening 600 mm wide",
        ),
    ],
)
def test_every_lattice_reads_like_speech(
    signed_in: Browser, address: str, words: Words, lattice: str, said: str
) -> None:
    page = signed_in.post(address, words(**{"design.lattice": lattice}), headers=HTMX).content.decode()
    assert said in spoken(page)
    assert "<svg" in page
    assert said in spoken(signed_in.get(address).content.decode())


def test_the_angle_of_a_diamond(signed_in: Browser, address: str, words: Words) -> None:
    signed_in.post(address, words(**{"design.lattice": "diamond"}), headers=HTMX)
    assert signed_in.post(address, words(**{"design.angle_deg": "75 °"}), headers=HTMX).status_code == 200
    for wrong, remedy in (
        ("20", "Found 20. Give 30 to 150°."),
        ("wide", "Found “wide”. Give 30 to 150°."),
        ("60,25", "at most 1 decimals"),
    ):
        answer = signed_in.post(address, words(**{"design.angle_deg": wrong}), headers=HTMX)
        assert answer.status_code == 422
        told = answer.content.decode().partition('id="f-design-angle-deg-p" hx-swap-oob="true">')[2]
        assert remedy in told.partition("</span>")[0]
    signed_in.post(address, words(**{"design.lattice": "square"}), headers=HTMX)
    signed_in.post(address, words(**{"design.lattice": "diamond"}), headers=HTMX)
    assert "lattice of 75° cells" in spoken(signed_in.get(address).content.decode())


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_rings_are_added_and_dropped(
    signed_in: Browser, address: str, words: Words, headers: dict[str, str]
) -> None:
    def rings() -> int:
        arrangement = design_of(Option.objects.get()).arrangement
        assert isinstance(arrangement, Rings)
        return len(arrangement.rings)

    signed_in.post(address, words(**kind("rings")), headers=headers)
    signed_in.post(address, words(change="add ring"), headers=headers)
    assert rings() == 3
    assert "Undo: 3 rings → 2" in signed_in.get(address).content.decode()
    signed_in.post(address, words(change="remove ring"), headers=headers)
    signed_in.post(address, words(change="remove ring"), headers=headers)
    signed_in.post(address, words(change="remove ring"), headers=headers)
    assert rings() == 1
    page = signed_in.get(address).content.decode()
    assert 'value="add ring"' in page
    assert 'value="remove ring"' not in page


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_a_single_band_stays_the_only_one(
    signed_in: Browser, address: str, words: Words, headers: dict[str, str]
) -> None:
    signed_in.post(address, words(**kind("bands")), headers=headers)
    signed_in.post(address, words(change="remove band"), headers=headers)
    price = Option.objects.get().gross_minor
    signed_in.post(address, words(**{"design.mirror_touch_ups": "on"}), headers=headers)
    arrangement = design_of(Option.objects.get()).arrangement
    assert isinstance(arrangement, Bands)
    assert len(arrangement.bands) == 1
    assert Option.objects.get().gross_minor == price


def test_bands_count_columns_or_rows(signed_in: Browser, address: str, words: Words) -> None:
    signed_in.post(address, words(**kind("bands")), headers=HTMX)
    level = {"design.arrangement.direction": "level", "design.arrangement.bands.0.cells": "1"}
    for changed, said in (({}, "columns"), (level, "row")):
        page = signed_in.post(address, words(**changed), headers=HTMX).content.decode()
        assert f'<span id="band-cells" hx-swap-oob="true">{said}</span>' in page
    assert "level: 1 row of hemp leaf" in spoken(signed_in.get(address).content.decode())


def on_page(page: str) -> dict[str, str]:
    """Every field of the words as a browser without a script would post it."""
    form = page[page.index('<form id="words"') :].partition("</form>")[0]
    fields: dict[str, str] = {}
    control = r'<(input|select)[^>]*? name="([^"]+)"([^>]*>(?:\s*<option.*?</select>)?)'
    for tag, name, rest in re.findall(control, form, re.S):
        chosen = re.search(r'value="([^"]*)"' + (" selected" if tag == "select" else ""), rest)
        if chosen and ("checkbox" not in rest or " checked" in rest):
            fields[name] = unescape(chosen[1])
    return fields


@pytest.mark.parametrize("name", [name for name in ARRANGEMENTS if name != "border and field"])
def test_without_script_a_refused_change_of_arrangement_can_be_mended(
    signed_in: Browser, address: str, words: Words, name: str
) -> None:
    refused = signed_in.post(address, words(**kind(name), **{"design.cell_side_mm": "wide"}))
    assert refused.status_code == 422
    typed = on_page(refused.content.decode())
    assert typed["design.cell_side_mm"] == "wide"
    answer = signed_in.post(address, {**typed, "design.cell_side_mm": "50 mm"})
    assert answer.status_code == 302
    design = design_of(Option.objects.get())
    assert (design.arrangement.kind, str(design.cell_side_mm)) == (name, "50")


def test_without_script_a_refused_change_of_lattice_can_be_mended(
    signed_in: Browser, address: str, words: Words
) -> None:
    typed = words(**{"design.lattice": "diamond", "design.depth_mm": "deep"})
    del typed["design.angle_deg"]
    refused = signed_in.post(address, typed).content.decode()
    assert on_page(refused)["design.angle_deg"] == "60"
    assert signed_in.post(address, {**on_page(refused), "design.depth_mm": "12 mm"}).status_code == 302


def test_rings_round_another_point_and_one_cell_are_said_at_once(
    signed_in: Browser, address: str, words: Words
) -> None:
    signed_in.post(address, words(**kind("rings")), headers=HTMX)
    moved = {"design.arrangement.across_percent": "30", "design.arrangement.rings.0.cells": "1"}
    page = signed_in.post(address, words(**moved), headers=HTMX).content.decode()
    assert '<span id="ring-point" hx-swap-oob="true">a point 30 % across and 50 % up:</span>' in page
    assert '<span id="ring-cells" hx-swap-oob="true">cell</span>' in page
    assert 'id="words"' not in page
    for wrong, found in (("101", "101 %"), ("-1", "-1 %"), ("left", "“left”")):
        answer = signed_in.post(address, words(**{"design.arrangement.up_percent": wrong}), headers=HTMX)
        assert answer.status_code == 422
        assert (
            f'id="f-design-arrangement-up-percent-p" hx-swap-oob="true">Found {found}. Give'
            in answer.content.decode()
        )


def test_as_large_as_fits_goes_when_columns_are_said(signed_in: Browser, address: str, words: Words) -> None:
    page = signed_in.post(address, words(**{"design.columns": "9"}), headers=HTMX).content.decode()
    assert '<span id="as-large" hx-swap-oob="true">.</span>' in page


def test_a_drift_falls_another_way_at_every_throw(signed_in: Browser, address: str, words: Words) -> None:
    signed_in.post(address, words(**kind("drift")), headers=HTMX)
    drawn = signed_in.get(f"{address}thumbnail.svg").content
    page = signed_in.post(address, words(change="another throw"), headers=HTMX).content.decode()
    assert 'id="words"' in page  # the number on the page is the new one
    arrangement = design_of(Option.objects.get()).arrangement
    assert isinstance(arrangement, Drift)
    assert arrangement.seed == 2
    assert 'name="design.arrangement.seed" type="text" value="2"' in page
    assert signed_in.get(f"{address}thumbnail.svg").content != drawn
    undo(signed_in, address)
    assert signed_in.get(f"{address}thumbnail.svg").content == drawn


@pytest.mark.parametrize(
    ("name", "field", "text"),
    [
        ("drift", "seed", "0"),
        ("drift", "seed", "luck"),
        ("drift", "direction", "sideways"),
        ("rosettes", "apart", "1"),
        ("rosettes", "apart", "far"),
        ("rings", "rings.1.cells", "0"),
        ("bands", "bands.1.cells", "many"),
    ],
)
def test_bad_words_are_said_at_their_field(
    signed_in: Browser, address: str, words: Words, name: str, field: str, text: str
) -> None:
    signed_in.post(address, words(**kind(name)), headers=HTMX)
    good = Option.objects.get()
    answer = signed_in.post(address, words(**{f"design.arrangement.{field}": text}), headers=HTMX)
    ident = "f-design-arrangement-" + field.replace(".", "-")
    told = answer.content.decode().partition(f'id="{ident}-p" hx-swap-oob="true">')[2].partition("</span>")[0]
    assert answer.status_code == 422
    assert told.strip()
    assert Option.objects.get().design == good.design


@pytest.mark.parametrize("name", ["rings", "drift", "rosettes", "alternating"])
def test_few_queries_for_every_kind(
    signed_in: Browser, address: str, words: Words, name: str, django_assert_max_num_queries: Any
) -> None:
    signed_in.post(address, words(**kind(name)), headers=HTMX)
    signed_in.get(address)
    with django_assert_max_num_queries(12):  # two of the range
        signed_in.get(address)
