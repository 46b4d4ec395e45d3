"""A day in the studio: issue, the client approves by the link, the board shows it."""

from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from studio.clients.models import Client
from studio.people.models import User
from tests.proposals.conftest import add_option, make_commission, small_design


def test_issue_approve_board(signed_in_page: Page, browser: Browser, live_server: LiveServer, owner: User):
    client = Client.objects.create(name="Ms <Adeyemi> 🙂", email="a@client.example", kind="business")
    commission = make_commission(client)
    add_option(commission, "A", small_design())
    add_option(commission, "B", small_design("Indigo", "tortoiseshell"))

    studio = signed_in_page
    studio.goto(f"/proposals/for/{commission.public_id}/")
    studio.get_by_role("button", name="Issue the proposal").click()
    expect(studio.get_by_role("heading", name="issue 1")).to_be_visible()
    studio.get_by_role("button", name="Send to Ms <Adeyemi> 🙂").click()
    expect(studio.get_by_role("status")).to_contain_text("Sent to a@client.example")
    address = studio.get_by_label("Link for the client").input_value()

    price = approve(browser, address)

    studio.goto("/")
    card = studio.get_by_role("listitem").filter(has_text="Niche panel")
    expect(card).to_contain_text("Ms <Adeyemi> 🙂")
    expect(card).to_contain_text("approved")
    expect(card).to_contain_text(f"Option B for {price} without tax")


def approve(browser: Browser, address: str) -> str:
    """As the client does it: another browser, no sign-in, no script. Returns the price."""
    context = browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 800})
    page = context.new_page()
    page.goto(address)
    expect(page.get_by_text("Ms <Adeyemi> 🙂")).to_be_visible()
    expect(page.get_by_role("img", name="Option B, seen from the front").last).to_be_visible()
    option = page.get_by_role("article", name="Option B")
    price = option.get_by_role("row").filter(has_text="Price without tax").locator("td").last.inner_text()
    page.get_by_role("radio", name="Option B").check()
    page.get_by_label("Your name", exact=True).fill("Ms Adeyemi")
    page.get_by_label("I may order this").check()
    page.get_by_role("button", name="Approve this option").click()
    expect(page.get_by_role("status")).to_contain_text("Option B was approved on")
    expect(page.get_by_role("button", name="Approve this option")).to_have_count(0)
    assert context.cookies() == []
    context.close()
    return price


def test_the_page_holds_at_360(signed_in_page: Page, browser: Browser, live_server: LiveServer, owner: User):
    client = Client.objects.create(name="W" * 200)
    commission = make_commission(client, measured=False)
    add_option(commission, "A", small_design())
    studio = signed_in_page
    studio.set_viewport_size({"width": 360, "height": 800})
    studio.goto(f"/proposals/for/{commission.public_id}/")
    studio.get_by_role("button", name="Issue the proposal").click()
    address = studio.get_by_label("Link for the client").input_value()
    for place in (studio.url, address, "/"):
        studio.goto(place)
        assert studio.evaluate("document.documentElement.scrollWidth") == 360
