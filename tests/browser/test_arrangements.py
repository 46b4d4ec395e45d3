"""A design worked out while the client listens: another lattice, rings, one cell by a click, and back."""

import pytest
from playwright.sync_api import Locator, Page, expect

from studio.commissions.estimating import brief_of, design_of
from studio.commissions.models import Option
from studio.drawing.rings import PER_MM
from studio.lattice.cells import cells_of
from studio.lattice.fit import best_fit
from tests.browser.test_call import started


def drawing(page: Page) -> Locator:
    return page.locator("#drawing svg.elevation")


def click_cell(page: Page, column: int, row: int) -> None:
    """On the cell's reference point, a little within the panel, found from the design and the drawing's own
    frame."""
    option = Option.objects.select_related("commission__space").get()
    brief = brief_of(option)
    fit = best_fit(brief.design, brief.space)
    cells = cells_of(fit)
    (place,) = ((cells.column == column) & (cells.row == row)).nonzero()[0]
    left, top, width, height = map(float, str(drawing(page).get_attribute("viewBox")).split())
    box = drawing(page).bounding_box()
    assert box
    scale = min(box["width"] / width, box["height"] / height)
    right_mm, up_mm = (max(float(at[place]), 3.0) for at in (cells.x, cells.y))
    x = right_mm * PER_MM - left - width / 2
    y = (fit.lattice_height_mm - up_mm) * PER_MM - top - height / 2
    middle = {"x": box["width"] / 2 + x * scale, "y": box["height"] / 2 + y * scale}
    drawing(page).click(position=middle)  # type: ignore[arg-type]


def test_a_diamond_in_rings_and_one_cell_by_a_click(signed_in_page: Page) -> None:
    page = signed_in_page
    started(page)
    page.get_by_label("Lattice", exact=True).select_option(label="diamond")
    expect(page.get_by_label("Angle of a cell in degrees")).to_have_value("60")
    page.get_by_label("Arrangement").select_option(label="in rings")
    expect(page.get_by_label("Cells in the ring")).to_have_count(2)
    expect(page.locator(".spoken")).to_contain_text("round the middle:")
    page.get_by_role("button", name="add a ring").click()
    expect(page.get_by_label("Cells in the ring")).to_have_count(3)
    page.get_by_label("Cells in the ring").first.fill("1")
    page.get_by_label("Cells in the ring").first.blur()
    expect(page.locator("#ring-cells")).to_have_text("cell")

    drawn = drawing(page).inner_html()
    click_cell(page, 4, 6)
    expect(page.get_by_label("Column, from the left")).to_have_value("5")
    expect(page.get_by_label("Row, from the bottom")).to_have_value("7")
    expect(page.locator("#cell-now")).to_contain_text(" in ")
    page.get_by_label("Pattern of this cell").select_option(label="open")
    page.get_by_role("button", name="Change this cell").click()
    expect(page.locator("#touched li")).to_contain_text("Column 5, row 7: open cells")
    assert drawing(page).inner_html() != drawn
    assert [(t.column, t.row) for t in design_of(Option.objects.get()).touch_ups] == [(4, 6)]

    page.get_by_role("button", name="Undo: column 5, row 7").click()
    expect(page.locator("#touched li")).to_have_count(0)
    assert drawing(page).inner_html() == drawn
    assert design_of(Option.objects.get()).touch_ups == ()


@pytest.mark.parametrize("lattice", ["three-way", "three-way turned", "square", "diamond"])
def test_a_click_finds_its_cell_in_every_lattice(signed_in_page: Page, lattice: str) -> None:
    page = signed_in_page
    started(page)
    if lattice != "three-way":
        page.get_by_label("Lattice", exact=True).select_option(lattice)
        expect(page.locator("#undo")).to_contain_text("Undo: lattice")
    for column, row in ((0, 0), (3, 5), (6, 2)):
        click_cell(page, column, row)
        expect(page.get_by_label("Column, from the left")).to_have_value(str(column + 1))
        expect(page.get_by_label("Row, from the bottom")).to_have_value(str(row + 1))


def test_a_cell_by_the_keyboard_and_a_wrong_one(signed_in_page: Page, complaints: list[str]) -> None:
    page = signed_in_page
    started(page)
    page.get_by_text("Single cells", exact=True).click()
    page.get_by_label("Column, from the left").fill("99")
    page.get_by_label("Row, from the bottom").fill("4")
    page.get_by_label("Pattern of this cell").select_option(label="web")
    button = page.get_by_role("button", name="Change this cell")
    button.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#f-cell-column-p")).to_contain_text("columns of cells. Give 1 to")
    page.get_by_label("Column, from the left").fill("4")
    button.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#touched li")).to_contain_text("Column 4, row 4: web in")
    expect(page.locator("#f-cell-column-p")).to_be_empty()
    page.get_by_role("button", name="drop column 4, row 4").click()
    expect(page.locator("#touched li")).to_have_count(0)
    assert [complaint for complaint in complaints if "422" not in complaint] == []
    complaints.clear()


@pytest.mark.parametrize("width", [360, 768, 1440])
def test_nothing_overflows(signed_in_page: Page, width: int) -> None:
    page = signed_in_page
    started(page)
    page.get_by_label("Lattice", exact=True).select_option(label="turned three-way")
    expect(page.locator(".spoken")).to_contain_text("with level strips")
    page.get_by_label("Arrangement").select_option(label="in rings")
    expect(page.get_by_label("Cells in the ring")).to_have_count(2)
    page.set_viewport_size({"width": width, "height": 900})
    page.get_by_text("Single cells", exact=True).click()
    page.get_by_text("What the rings lie round", exact=True).click()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
