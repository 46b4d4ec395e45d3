"""Photographs as rows: kept as they came in, emptied by erasing, seen by those who are signed in."""

from hashlib import sha256

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, connection, transaction
from django.test import Client as Browser
from django.utils import timezone
from PIL import Image

from studio.clients.models import Client, Photograph, Space
from studio.clients.photographs import keep_photograph
from studio.clients.picture import MOST_STORED_BYTES
from studio.proposals.erasing import erase_client
from tests.clients.test_picture import saved

PHOTOGRAPH = saved(Image.new("RGB", (60, 40), "teal"), "PNG")


@pytest.fixture
def space(db: None) -> Space:
    return Space.objects.create(client=Client.objects.create(name="Marram"), name="ticket hall", document={})


@pytest.fixture
def kept(space: Space) -> Photograph:
    return keep_photograph(space, PHOTOGRAPH, None)


def refused(sql: str, *values: object) -> bool:
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(sql, values)
    except IntegrityError:
        return True
    return False


def test_what_is_kept_has_its_digest(kept: Photograph) -> None:
    row = Photograph.objects.get()
    assert sha256(bytes(row.image)).hexdigest() == row.sha256
    assert (row.width_px, row.height_px) == (60, 40)


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("sha256", "0" * 64),
        ("image", b"another"),
        ("width_px", 61),
        ("public_id", "another"),
        ("at", "2020-01-01"),
    ],
)
def test_the_database_keeps_a_photograph_as_it_was(kept: Photograph, column: str, value: object) -> None:
    assert refused(f"UPDATE clients_photograph SET {column} = %s", value)
    assert refused("DELETE FROM clients_photograph")
    kept.refresh_from_db()
    assert sha256(bytes(kept.image)).hexdigest() == kept.sha256


@pytest.mark.parametrize(("more_bytes", "width_px", "may"), [(0, 1, True), (1, 1, False), (0, 0, False)])
def test_the_database_holds_bytes_and_pixels_in_bounds(
    space: Space, more_bytes: int, width_px: int, may: bool
) -> None:
    told = "INSERT INTO clients_photograph (public_id, space_id, image, sha256, width_px, height_px, at)"
    values = (
        "x",
        space.pk,
        bytes(MOST_STORED_BYTES + more_bytes),
        "0" * 64,
        width_px,
        1,
        "2026-03-01 12:00:00+00:00",
    )
    assert refused(f"{told} VALUES (%s, %s, %s, %s, %s, %s, %s)", *values) != may


def test_erasing_empties_the_bytes_and_keeps_the_digest(kept: Photograph, signed_in: Browser) -> None:
    other = keep_photograph(Space.objects.create(name="elsewhere", document={}), PHOTOGRAPH, None)
    address = f"/clients/photographs/{kept.public_id}/"
    assert signed_in.get(address).status_code == 200
    erase_client(kept.space.client, None, timezone.now())
    erased = Photograph.objects.get(pk=kept.pk)
    assert (erased.image, erased.sha256, erased.width_px) == (None, kept.sha256, 60)
    assert signed_in.get(address).status_code == 404
    other.refresh_from_db()
    assert other.image
    assert refused("UPDATE clients_photograph SET image = %s WHERE id = %s", b"again", kept.pk)


def test_added_and_seen_on_a_page(space: Space, signed_in: Browser) -> None:
    address = f"/clients/spaces/{space.public_id}/photographs/"
    assert "None yet." in signed_in.get(address).content.decode()
    sent = SimpleUploadedFile("hall.png", PHOTOGRAPH, "image/png")
    page = signed_in.post(address, {"photograph": sent}, follow=True).content.decode()
    row = Photograph.objects.get()
    assert "The photograph is kept." in page
    assert f'<img src="/clients/photographs/{row.public_id}/" alt="ticket hall, photograph 1 of 1"' in page
    answer = signed_in.get(f"/clients/photographs/{row.public_id}/")
    assert (answer.content, answer["Content-Type"]) == (bytes(row.image), "image/jpeg")
    assert (answer["X-Content-Type-Options"], answer["Cache-Control"][:7]) == ("nosniff", "private")
    assert row.by is not None


@pytest.mark.parametrize("sent", [None, b"no picture"])
def test_what_is_no_photograph_is_said_beside_the_field(
    space: Space, signed_in: Browser, sent: bytes | None
) -> None:
    data = {} if sent is None else {"photograph": SimpleUploadedFile("hall.jpg", sent, "image/jpeg")}
    answer = signed_in.post(f"/clients/spaces/{space.public_id}/photographs/", data)
    told = "No photograph is chosen" if sent is None else "This is no photograph that can be read"
    assert answer.status_code == 422
    assert f'id="f-photograph-p">{told}' in answer.content.decode()
    assert not Photograph.objects.exists()


def test_strangers_see_none(kept: Photograph, client: Browser) -> None:
    for address in (
        f"/clients/photographs/{kept.public_id}/", f"/clients/spaces/{kept.space.public_id}/photographs/"
    ):  # fmt: skip
        assert client.get(address)["Location"].startswith("/sign-in/")
