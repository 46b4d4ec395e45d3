"""A call as the studio has it: a size is said, words change while the client talks, a second option."""

import re
from datetime import UTC, datetime

from playwright.sync_api import Page, expect

from studio.commissions.estimating import brief_of
from studio.commissions.models import Entry, Option
from studio.lattice.cells import cell_at
from studio.lattice.fit import best_fit


def started(page: Page) -> None:
    page.goto("/commissions/new/")
    page.get_by_label("How wide?").fill("about 600 mm")
    page.get_by_label("How high?").fill("500")
    page.get_by_label("Where does it go?").fill("behind the counter")
    page.get_by_role("button", name="Start with option A").click()
    page.wait_for_url("**/options/A/")


def price(page: Page) -> str:
    return page.locator("#headline .price strong").inner_text()


def stop_clock(page: Page) -> None:
    """From here on the page's own time only goes on in `pause`, however slow the machine is."""
    expect(page.locator("#range[hx-get]")).to_have_count(0)
    page.clock.install(time=datetime(2026, 3, 2, 9, tzinfo=UTC))
    page.clock.pause_at(datetime(2026, 3, 2, 10, tzinfo=UTC))


def pause(page: Page) -> None:
    """The pause after which a page sends what is typed, until that is answered; a range takes its place only
    as time goes on."""
    page.clock.run_for(1500)
    expect(page.locator(".htmx-request:not(#range)")).to_have_count(0)


def test_a_call(signed_in_page: Page) -> None:
    page = signed_in_page
    started(page)
    expect(page.locator("#headline")).to_contain_text("unmeasured")
    before, drawing = price(page), page.locator("#drawing svg.drawing").inner_html()

    side = page.get_by_label("Side of a cell")
    side.fill("60 mm")  # typed, and not left yet
    expect(page.locator("#headline .changed").first).to_contain_text("£")
    expect(page.locator("#headline .price strong")).not_to_have_text(before)
    assert page.locator("#drawing svg.drawing").inner_html() != drawing
    expect(side).to_be_focused()
    expect(side).to_have_value("60 mm")

    page.get_by_label("Arrangement").select_option(label="in bands")
    expect(page.get_by_label("Direction of the bands")).to_be_visible()
    page.get_by_role("button", name="add a band").click()
    expect(page.get_by_label("Cells in the band")).to_have_count(3)

    page.get_by_role("button", name="Add an option like A").click()
    page.wait_for_url("**/options/B/")
    page.get_by_label("Light", exact=True).select_option(label="lit from behind")
    expect(page.locator("#options li").nth(1)).to_contain_text("lit")
    assert [option.letter for option in Option.objects.all()] == ["A", "B"]

    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_label("Light", exact=True)).to_have_value("off")


def test_a_size_that_is_typed_as_about_is_not_called_measured(signed_in_page: Page) -> None:
    page = signed_in_page
    started(page)
    width, measured = (
        page.get_by_label("Width of the opening"),
        page.get_by_label("Where the width comes from"),
    )
    width.fill("600 mm")
    measured.select_option(label="taped by us")
    expect(page.locator("#headline")).not_to_contain_text("unmeasured")
    width.fill("about 610 mm")  # typed, and not left yet
    expect(measured).to_have_value("said")
    expect(width).to_be_focused()


def test_what_is_wrong_is_not_folded_away(signed_in_page: Page, complaints: list[str]) -> None:
    page = signed_in_page
    started(page)
    strips = page.locator("#words details").filter(has_text="Width of a strip")
    strips.locator("summary").click()
    width = page.get_by_label("Width of a strip", exact=True)
    width.fill("thin")
    strips.locator("summary").click()
    expect(page.locator("#trouble")).to_contain_text("Not saved")
    expect(strips.get_by_text("“thin” is not a length.")).to_be_visible()
    width.fill("3.2 mm")
    width.blur()
    expect(page.locator("#trouble")).not_to_contain_text("Not saved")
    assert [complaint for complaint in complaints if "422" not in complaint] == []
    complaints.clear()


def test_what_is_wrong_stays_typed_and_the_drawing_stays(signed_in_page: Page, complaints: list[str]) -> None:
    page = signed_in_page
    started(page)
    before = price(page)
    stop_clock(page)
    depth = page.get_by_label("Depth", exact=True)
    depth.fill("deep")
    pause(page)  # still in the field: nobody is interrupted
    expect(page.locator("#f-design-depth-mm-p")).to_be_empty()
    depth.blur()
    expect(page.locator("#f-design-depth-mm-p")).to_contain_text("is not a length")
    expect(page.locator("#trouble")).to_contain_text("Not saved")
    assert price(page) == before
    expect(depth).to_have_value("deep")
    depth.fill("15 mm")
    depth.blur()
    expect(page.locator("#trouble")).to_be_empty()
    expect(page.locator("#f-design-depth-mm-p")).to_be_empty()
    assert Option.objects.get().design["depth_mm"] == "15"
    assert [complaint for complaint in complaints if "422" not in complaint] == []
    complaints.clear()


def test_enter_in_a_word_only_saves(signed_in_page: Page) -> None:
    page = signed_in_page
    started(page)
    page.get_by_label("Arrangement").select_option(label="in bands")
    expect(page.get_by_label("Cells in the band")).to_have_count(2)
    depth = page.get_by_label("Depth", exact=True)
    depth.fill("15 mm")
    depth.press("Enter")
    expect(page.locator("#f-revision")).to_have_value("3")
    expect(page.locator(".htmx-request")).to_have_count(0)  # whatever Enter may have sent besides
    expect(page.get_by_label("Cells in the band")).to_have_count(2)
    design = Option.objects.get().design
    assert (design["depth_mm"], len(design["arrangement"]["bands"])) == ("15", 2)


def test_a_number_is_saved_whole(signed_in_page: Page) -> None:
    page = signed_in_page
    started(page)
    stop_clock(page)
    depth = page.get_by_label("Depth", exact=True)
    depth.fill("")
    depth.press_sequentially("1")
    pause(page)  # long enough to be asked about, and half of a number all the same
    depth.press_sequentially("5")
    depth.press("Tab")
    expect(depth).to_have_value("15 mm")
    expect(page.locator("#f-revision")).to_have_value("2")
    pause(page)
    assert [c.design["depth_mm"] for c in Option.objects.get().changes.all()] == ["12", "15"]


def test_two_at_the_same_option(signed_in_page: Page, complaints: list[str]) -> None:
    page = signed_in_page
    started(page)
    somebody_else_makes_it("depth_mm", "10")
    somebody_else_makes_it("cell_side_mm", "60")
    somebody_else_makes_it("strip_width_mm", "4")
    page.get_by_text("Cells and strips").click()
    depth, strip = page.get_by_label("Depth", exact=True), page.get_by_label("Width of a strip", exact=True)
    depth.fill("15 mm")
    strip.fill("3 mm")  # while the first answer is on its way
    page.keyboard.press("Tab")
    expect(page.locator("#trouble")).to_contain_text("Somebody saved this option meanwhile")
    expect(depth).to_have_value("15 mm")
    expect(page.get_by_label("Side of a cell")).to_have_value("60 mm")
    expect(strip).to_have_value("3 mm")  # and it is sent in its turn
    expect(page.locator("#trouble")).to_contain_text("Strip width: “3 mm” is typed here")
    page.get_by_label("typed here: 15 mm").press("Space")
    expect(page.get_by_label("typed here: 15 mm")).to_have_count(0)
    page.get_by_label("saved by somebody else: 4 mm").press("Space")
    expect(page.locator("#trouble")).to_be_empty()
    design = Option.objects.get().design
    assert (design["depth_mm"], design["cell_side_mm"], design["strip_width_mm"]) == ("15", "60", "4")
    expected = ("409", "htmx:sendAbort", "htmx:afterRequest")  # the change on leaving the field was overtaken
    assert [complaint for complaint in complaints if not any(word in complaint for word in expected)] == []
    complaints.clear()


def somebody_else_makes_it(key: str, value: str) -> None:
    option = Option.objects.get()
    option.design, option.revision = {**option.design, key: value}, option.revision + 1
    option.save()


def test_what_is_said_is_one_key_away_and_keeps_itself(signed_in_page: Page) -> None:
    page = signed_in_page
    started(page)
    notes = page.get_by_label(re.compile("One thing more"))
    expect(notes).to_have_attribute("accesskey", "n")  # browsers differ in what is held with it
    notes.focus()
    page.keyboard.type("no blue anywhere")
    page.get_by_role("button", name="Add it").click()
    expect(page.locator("#entries li")).to_have_count(1)
    expect(page.locator("#said-state")).to_have_text("Kept.")
    expect(notes).to_have_value("")
    notes.fill("by Easter")
    page.get_by_label("Depth", exact=True).focus()  # left without a word
    expect(page.locator("#entries li")).to_have_count(2)
    expect(page.locator("#entries li").last).to_contain_text("by Easter")
    expect(notes).to_have_value("")
    assert [entry.text for entry in Entry.objects.all()] == ["no blue anywhere", "by Easter"]


def test_by_keyboard_and_on_a_phone(signed_in_page: Page) -> None:
    page = signed_in_page
    page.set_viewport_size({"width": 360, "height": 740})
    started(page)
    page.keyboard.press("Tab")
    expect(page.get_by_text("Skip to the page")).to_be_focused()
    page.get_by_label("Lattice", exact=True).focus()
    page.keyboard.type("sq")
    expect(page.locator("#drawing desc").first).to_contain_text("square")
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= 360
    page.get_by_role("heading", name="Cautions").scroll_into_view_if_needed()
    expect(page.locator("#headline")).to_be_in_viewport()  # price and date stick to the top


def test_a_chosen_view_of_the_drawing_stays(signed_in_page: Page) -> None:
    page = signed_in_page
    started(page)
    page.get_by_role("link", name="light on").click()
    expect(page.locator("#drawing svg.lit")).to_be_visible()
    assert page.url.endswith("?view=lit")
    side = page.get_by_label("Side of a cell")
    side.fill("60 mm")
    side.blur()
    expect(page.locator("#headline .changed").first).to_contain_text("£")
    expect(page.locator("#drawing svg.lit")).to_be_visible()
    page.get_by_role("link", name="front", exact=True).click()
    expect(page.locator("#drawing svg.elevation")).to_be_visible()
    expect(side).to_have_value("60 mm")


def test_a_click_on_the_drawing_names_the_cell_under_it(signed_in_page: Page) -> None:
    """30 mm to the right and 80 mm down from the lattice's upper left corner."""
    page = signed_in_page
    started(page)
    x, y = page.locator("#drawing svg.elevation").evaluate(
        "drawing => { const p = new DOMPoint(30_000, 80_000).matrixTransform(drawing.getScreenCTM());"
        " return [p.x, p.y]; }"
    )
    page.mouse.click(x, y)
    option = Option.objects.get()
    brief = brief_of(option)
    fit = best_fit(brief.design, brief.space)
    address = cell_at(fit, 30, fit.lattice_height_mm - 80)
    assert address
    column, row = address
    expect(page.get_by_label("Column, from the left")).to_have_value(str(column + 1))
    expect(page.get_by_label("Row, from the bottom")).to_have_value(str(row + 1))


def test_the_range_comes_after_the_price(signed_in_page: Page) -> None:
    page = signed_in_page
    started(page)
    expect(page.locator("#headline .price strong")).to_contain_text("about £")
    expect(page.locator("#range")).to_contain_text("for what we may tape")
    expect(page.locator("#range[hx-get]")).to_have_count(0)
    page.reload()
    expect(page.locator("#headline .price strong")).to_contain_text(" to £")
    expect(page.locator("#range")).to_contain_text("if the size given is right")
