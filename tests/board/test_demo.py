"""The demo studio: invented, whole, loaded once."""

import pytest
from django.core.management import CommandError, call_command

from studio.clients.models import Client
from studio.commissions.models import Commission
from studio.proposals.models import Decision, ProposalIssue
from studio.proposals.stored import read
from studio.workshop.books import the_studio


def test_three_commissions_in_three_states(owner, capsys):
    call_command("load_demo")
    assert "3 commissions" in capsys.readouterr().out
    stages = list(Commission.objects.order_by("pk").values_list("stage", flat=True))
    assert stages == ["enquiry", "proposed", "approved"]
    enquiry, clinic, school = Commission.objects.order_by("pk")
    assert (enquiry.client, enquiry.space.document["width_origin"]) == (None, "said")
    assert [option.letter for option in clinic.options.all()] == ["A", "B", "C"]
    assert all(option.gross_minor for option in (*enquiry.options.all(), *clinic.options.all()))
    assert Decision.objects.get().proposal == school.proposals.get()
    assert school.by == owner


def test_everything_is_marked_as_invented(owner):
    call_command("load_demo")
    assert the_studio().invented
    assert all(client.invented for client in Client.objects.all())
    for issue in ProposalIssue.objects.all():
        assert read(issue).parties["invented"]


def test_loading_again_changes_nothing(owner):
    call_command("load_demo")
    call_command("load_demo")
    call_command("load_demo", "--if-empty")
    assert (Commission.objects.count(), ProposalIssue.objects.count()) == (3, 2)


def test_a_studio_at_work_is_left_alone(owner):
    Client.objects.create(name="A real client")
    call_command("load_demo", "--if-empty")
    with pytest.raises(CommandError, match="empty database"):
        call_command("load_demo")
    assert (Commission.objects.count(), the_studio().invented) == (0, False)


def test_it_needs_no_owner(db):
    call_command("load_demo")
    assert Commission.objects.count() == 3
