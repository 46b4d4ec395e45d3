from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from studio.people.models import User


def test_prints_a_password_that_works(db: None) -> None:
    out = StringIO()
    call_command("make_owner", "runa@studio.example", "--name", "Runa", stdout=out)
    user = User.objects.get()
    assert user.is_owner
    assert user.display_name == "Runa"
    assert user.check_password(out.getvalue().split()[-1])


def test_second_owner_with_the_same_address_is_refused(owner: User) -> None:
    with pytest.raises(CommandError, match="has an account already"):
        call_command("make_owner", "Runa@studio.example")


def test_no_address_is_refused(db: None) -> None:
    with pytest.raises(CommandError, match="no e-mail address"):
        call_command("make_owner", "runa")


def test_accounts_of_every_role(db: None) -> None:
    for role in User.Role.values:
        out = StringIO()
        call_command("make_account", f"{role}@studio.example", "--role", role, stdout=out)
        user = User.objects.get(role=role)
        assert user.check_password(out.getvalue().split()[-1])
    with pytest.raises(CommandError, match="invalid choice"):
        call_command("make_account", "x@studio.example", "--role", "maker")
