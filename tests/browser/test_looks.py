"""What a page looks like where it is easy to get wrong: names without a space, drawings in the dark."""

from django.urls import reverse
from playwright.sync_api import Page

from studio.commissions.models import Commission
from tests.browser.test_call import started

LONG = "Donaudampfschiff" * 12 + "fahrt"
WIDER = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


def test_names_without_a_space_break(signed_in_page: Page) -> None:
    page = signed_in_page
    page.goto("/clients/new/")
    page.get_by_label("Name", exact=True).first.fill(LONG)
    page.locator("button.main").click()
    page.wait_for_url(lambda url: "/new/" not in url)
    client = page.url
    page.goto("/commissions/new/")
    page.get_by_label("How wide?").fill("600 mm")
    page.get_by_label("How high?").fill("500")
    page.get_by_label("Where does it go?").fill(LONG)
    page.locator("select[name=client]").select_option(label=LONG)
    page.get_by_role("button", name="Start with option A").click()
    page.wait_for_url("**/options/A/")
    Commission.objects.update(title=LONG, next_step=LONG)
    commission = Commission.objects.get()
    space = f"/clients/spaces/{commission.space.public_id}/"
    call = f"/commissions/{commission.public_id}/options/A/"
    proposal = reverse("proposals:for_commission", args=[commission.public_id])
    for width in (360, 1440):
        page.set_viewport_size({"width": width, "height": 900})
        wide = {}
        for address in ("/", "/clients/", client, space, call, proposal):
            page.goto(address)
            wide[address] = page.evaluate(WIDER)
        assert set(wide.values()) == {0}, (width, wide)


def test_a_drawing_lies_on_white_paper_in_the_dark(signed_in_page: Page) -> None:
    page = signed_in_page
    started(page)
    style = "element => [getComputedStyle(element).backgroundColor, getComputedStyle(element).color]"
    light = page.locator("#drawing").evaluate(style)
    page.emulate_media(color_scheme="dark")
    assert page.locator("#drawing").evaluate(style) == light == ["rgb(255, 255, 255)", "rgb(29, 27, 24)"]
    assert page.locator("#options img").evaluate(style)[0] == "rgb(255, 255, 255)"
    assert page.locator("body").evaluate(style)[0] == "rgb(22, 24, 26)"
