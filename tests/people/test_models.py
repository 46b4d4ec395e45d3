import pytest
from django.db import IntegrityError

from studio.people.models import User


def test_address_is_stored_plain(db: None) -> None:
    user = User.objects.create_user(" Runa@Studio.EXAMPLE ", display_name="Runa")
    assert user.email == "runa@studio.example"
    assert not user.has_usable_password()


def test_two_people_cannot_share_an_address_in_any_case(owner: User) -> None:
    with pytest.raises(IntegrityError):
        User(email="RUNA@studio.example", display_name="Other").save()


def test_unknown_role_is_refused_by_the_database(db: None) -> None:
    with pytest.raises(IntegrityError):
        User.objects.create_user("x@studio.example", role="guest")


def test_name_is_shown_else_the_address(owner: User) -> None:
    assert (str(owner), str(User(email="x@studio.example"))) == ("Runa", "x@studio.example")
    assert owner.is_owner
    assert not User().is_owner
