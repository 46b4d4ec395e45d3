"""Two people at what is written down about one commission."""

import pytest
from django.test import Client as Browser

from studio.clients.models import Client
from studio.commissions.models import Commission, Option
from tests.two_tabs import fields_of


@pytest.fixture
def about(option: Option) -> str:
    return f"/commissions/{option.commission.public_id}/about/"


def test_different_fields_are_both_kept(signed_in: Browser, tam: Browser, about: str) -> None:
    stale = fields_of(signed_in.get(about), title="Ticket hall")
    tam.post(about, fields_of(tam.get(about), next_step="measure", stage="declined"))
    page = signed_in.post(about, stale, follow=True).content.decode()
    assert "Tam changed next step, stage meanwhile: kept." in page
    found = Commission.objects.get()
    assert (found.title, found.next_step, found.stage) == ("Ticket hall", "measure", "declined")


@pytest.mark.parametrize("choice", ["mine", "theirs"])
@pytest.mark.parametrize("field", ["client", "stage", "title", "next_step_on"])
def test_one_field_is_asked_about_in_its_own_words(
    signed_in: Browser, tam: Browser, about: str, field: str, choice: str
) -> None:
    made = [Client.objects.create(name=name).public_id for name in ("Marram", "Ferry House")]
    typed, shown = {
        "client": (made, ["Marram", "Ferry House"]),
        "stage": (["enquiry", "declined"], ["Enquiry", "Declined"]),
        "title": (["Hall", "<b>"], ["Hall", "&lt;b&gt;"]),
        "next_step_on": (["2026-12-01", "2026-12-02"], ["2026-12-01", "2026-12-02"]),
    }[field]
    if field == "stage":
        Commission.objects.update(stage="proposed")  # and withdrawn since
    stale = fields_of(signed_in.get(about), next_step="ring back") | {field: typed[0]}
    tam.post(about, fields_of(tam.get(about)) | {field: typed[1]})
    asked = signed_in.post(about, stale)
    page = asked.content.decode()
    assert asked.status_code == 409
    assert f"typed here: <b>{shown[0]}</b>" in page
    assert f"saved by Tam: <b>{shown[1]}</b>" in page
    assert signed_in.post(about, fields_of(asked) | {"choose.0": choice}).status_code == 302
    now = fields_of(signed_in.get(about))
    assert (now[field], now["next_step"]) == (typed[choice == "theirs"], "ring back")


def test_strangers(client: Browser, signed_in: Browser, about: str) -> None:
    stale = fields_of(signed_in.get(about), title="Mine")
    client.logout()
    assert client.post(about, stale)["Location"].startswith("/sign-in/")
    assert Commission.objects.get().title != "Mine"
