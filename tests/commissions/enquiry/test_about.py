"""What is written down about a commission."""

import re

import pytest
from django.test import Client as Browser

from studio.clients.models import Client
from studio.commissions.models import Commission, Option
from tests.two_tabs import fields_of


@pytest.fixture
def about(option: Option) -> str:
    return f"/commissions/{option.commission.public_id}/about/"


def typed(**changed: str) -> dict[str, str]:
    return {
        "title": "Ticket hall",
        "client": "",
        "stage": "enquiry",
        "next_step": "",
        "next_step_on": "",
    } | changed


def test_saved(signed_in: Browser, about: str) -> None:
    marram = Client.objects.create(name="Marram")
    signed_in.post(
        about,
        fields_of(signed_in.get(about))
        | typed(client=marram.public_id, next_step="measure", next_step_on="2026-12-01"),
    )
    found = Commission.objects.get()
    assert (found.title, found.client, found.next_step, str(found.next_step_on)) == (
        "Ticket hall", marram, "measure", "2026-12-01",
    )  # fmt: skip
    assert found.space.client == marram
    assert b"Ticket hall" in signed_in.get(about).content


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("title", ""),
        ("title", "x" * 2000),
        ("next_step_on", "soon"),
        ("client", "nobody"),
        ("stage", "approved"),
        ("stage", "making"),
        ("stage", "lost"),
    ],
)
def test_refused(signed_in: Browser, about: str, field: str, text: str) -> None:
    answer = signed_in.post(about, fields_of(signed_in.get(about)) | typed(**{field: text}))
    assert answer.status_code == 422
    assert Commission.objects.get().title == "An empty stretch of wall"


@pytest.mark.parametrize(
    ("stage", "right"),
    [
        ("proposed", "issue a proposal"),
        ("approved", "write down the client’s yes"),
        ("making", "release the work"),
        ("handed over", "write down the client’s yes first"),
        ("cancelled", "call off what is sold"),
    ],
)
def test_what_something_else_makes_true_is_refused_with_what_would(
    signed_in: Browser, about: str, stage: str, right: str
) -> None:
    answer = signed_in.post(about, fields_of(signed_in.get(about)) | typed(stage=stage))
    assert answer.status_code == 422
    assert right in answer.content.decode().lower()
    assert Commission.objects.get().stage == "enquiry"


def test_it_is_declined_without_a_proposal_and_taken_up_again(signed_in: Browser, about: str) -> None:
    for stage in ("declined", "enquiry"):
        page = signed_in.get(about)
        offered = set(re.findall(r'<option value="([a-z ]+)"', page.content.decode())) & set(Commission.Stage)
        assert offered == {"enquiry", "declined"}
        assert signed_in.post(about, fields_of(page) | typed(stage=stage)).status_code == 302
        assert Commission.objects.get().stage == stage


def test_first_option_is_where_a_commission_opens(signed_in: Browser, option: Option) -> None:
    answer = signed_in.get(f"/commissions/{option.commission.public_id}/")
    assert answer["Location"].endswith("/options/A/")


def test_what_was_approved_is_where_a_commission_opens(
    signed_in: Browser, option: Option, address: str
) -> None:
    signed_in.post(f"{address}copy/")
    Commission.objects.update(stage="approved", approved_letter="B")
    page = signed_in.get(f"/commissions/{option.commission.public_id}/", follow=True)
    assert page.context["option"].letter == "B"
    assert [each["approved"] for each in page.context["side_by_side"]] == [False, True]
    assert page.content.decode().count(">approved</span>") == 1


@pytest.mark.parametrize("place", ["about/", ""])
def test_strangers(client: Browser, signed_in: Browser, option: Option, place: str) -> None:
    signed_in.logout()
    answer = client.get(f"/commissions/{option.commission.public_id}/{place}")
    assert answer["Location"].startswith("/sign-in/")
