"""Signing in as a person does it."""

from playwright.sync_api import Page, expect

from studio.people.models import User
from tests.conftest import PASSWORD


def test_wrong_then_right_password(page: Page, owner: User) -> None:
    page.goto("/sign-in/")
    expect(page.get_by_label("E-mail address")).to_be_focused()
    page.keyboard.type(owner.email)
    page.get_by_label("Password").fill("guess")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("do not match")
    expect(page.get_by_label("E-mail address")).to_have_value(owner.email)
    page.get_by_label("Password").fill(PASSWORD)
    page.keyboard.press("Enter")
    page.wait_for_url(lambda url: "/sign-in/" not in url)
    names = {cookie["name"]: cookie for cookie in page.context.cookies()}
    assert names["sessionid"]["httpOnly"]


def test_htmx_is_there_and_adds_no_styles(page: Page, live_server) -> None:
    page.goto("/sign-in/")
    assert page.evaluate("htmx.config.includeIndicatorStyles") is False
    assert page.evaluate("htmx.config.allowEval") is False
    assert page.locator("style").count() == 0
