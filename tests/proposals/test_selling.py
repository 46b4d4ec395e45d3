"""What follows a yes: variations, cancellations, releases, each once and whoever comes first."""

import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import OperationalError, connection
from django.utils import timezone

from studio.clients.models import Photograph, Space
from studio.commissions.closed import is_closed, is_varied
from studio.commissions.enquiry.about import about_form, save_about
from studio.commissions.estimating import save_space_of
from studio.commissions.models import Commission
from studio.commissions.price_first import sold_price
from studio.forms import Form
from studio.lattice import design as lattice
from studio.money import from_minor
from studio.problem import Conflict, Refused
from studio.proposals.deciding import decide
from studio.proposals.erasing import erase_client
from studio.proposals.issuing import issue_proposal, withdraw_issue
from studio.proposals.models import Cancellation, Decision, IssuedOption, Proposal, ProposalIssue, Release
from studio.proposals.newest import newest_yes
from studio.proposals.selling import begin_variation, cancel, end_variation, release
from studio.proposals.stored import read
from studio.stored.kinds import DESIGN, SPACE
from studio.workshop.clock import today
from tests.estimate.said import TAPED
from tests.proposals.conftest import add_option, make_commission, small_design, yes_to


@pytest.fixture
def sold(issue):
    return decide(issue, yes_to(issue), timezone.now())


@pytest.fixture
def variation(sold, commission, owner):
    return begin_variation(commission, owner, timezone.now())


def fresh(commission):
    return Commission.objects.get(pk=commission.pk)


def issued(commission, owner, *letters):
    return issue_proposal(fresh(commission), letters or ("A", "B"), owner, timezone.now())


def no_to(issue):
    return replace(yes_to(issue), answer="declined", letter="", ready_on=None)


def call_off(commission, owed="10.00", **more):
    why, now = "The lease fell through", timezone.now()
    return cancel(fresh(commission), "Ms Adeyemi", why, Decimal(owed), None, now, **more)


def test_issued_options_are_those_of_the_figures(issue):
    offered = {o.letter: str(from_minor(o.gross_minor, o.currency)) for o in IssuedOption.objects.all()}
    assert offered == {letter: read(issue).gross_of(letter) for letter in ("A", "B")}


@pytest.mark.parametrize(("net", "told"), [(None, "with tax"), (4000, "with tax"), (5000, "")])
def test_what_was_sold_says_nothing_of_tax_where_there_is_none(sold, commission, net, told):
    """Also once the option's own figures are others."""
    commission.options.update(net_minor=net, gross_minor=net and 5000)
    assert sold_price(fresh(commission), sold.letter, 4900) == (4900, told)


def test_a_variation_opens_the_next_proposal_with_the_next_number(variation, sold, commission, owner):
    assert (variation.place, variation.sequence, variation.by) == (2, sold.proposal.sequence + 1, owner)
    assert not is_closed(fresh(commission))
    assert fresh(commission).stage == "approved"
    made = issued(commission, owner)
    assert (made.proposal, made.number) == (variation, 1)
    assert fresh(commission).stage == "approved"
    assert newest_yes(commission) == sold


def test_there_is_one_variation_at_a_time_and_only_of_what_is_sold(issue, commission, owner):
    with pytest.raises(Conflict, match="nothing is sold yet"):
        begin_variation(commission, owner, timezone.now())
    decide(issue, yes_to(issue), timezone.now())
    begin_variation(commission, owner, timezone.now())
    with pytest.raises(Conflict, match="open already"):
        begin_variation(commission, owner, timezone.now())
    assert Proposal.objects.count() == 2


def test_a_yes_to_a_variation_is_what_is_sold(variation, sold, commission, owner):
    made = issued(commission, owner)
    second = decide(made, yes_to(made, "B"), timezone.now())
    after = fresh(commission)
    assert newest_yes(after) == second
    assert (after.stage, after.approved_letter, after.before_variation) == ("approved", "B", None)
    assert is_closed(after)
    assert Decision.objects.filter(answer="approved").count() == 2
    assert begin_variation(after, owner, timezone.now()).place == 3


@pytest.mark.parametrize("how", ["declined", "ended"])
def test_without_a_yes_the_options_are_again_those_that_were_sold(variation, sold, commission, owner, how):
    before = {o.letter: (o.design, o.gross_minor, o.ready_on) for o in commission.options.all()}
    option = commission.options.get(letter="A")
    option.design, option.gross_minor = DESIGN.write(small_design("Indigo", "tortoiseshell")), 1
    option.save()
    commission.options.filter(letter="B").update(removed_at=timezone.now())
    option.pk, option.letter = None, "C"
    option.save(force_insert=True)
    made = issued(commission, owner, "A")
    if how == "declined":
        decide(made, no_to(made), timezone.now())
    else:
        end_variation(fresh(commission), owner, timezone.now())
        made.refresh_from_db()
        assert (made.state, made.links.get().revoked_at is None) == ("withdrawn", False)
    after = fresh(commission)
    assert {o.letter: (o.design, o.gross_minor, o.ready_on) for o in after.options.all()} == before
    assert (after.stage, after.approved_letter, newest_yes(after)) == ("approved", "A", sold)
    assert is_closed(after)
    assert commission.options.get(letter="A").changes.last().design == before["A"][0]


def in_other_space(commission, width="400"):
    """The space as somebody measured it anew."""
    place = commission.space
    document = lattice.Space(widths_mm=(Decimal(width),), heights_mm=(Decimal(260),), **TAPED)

    def save(row):
        row.document, row.typed = SPACE.write(document), {"widths_mm.0": width}
        row.measured_by = "Tam"
        row.save()

    save_space_of(place, save, today())
    return fresh(commission)


@pytest.mark.parametrize("how", ["declined", "ended", "cancelled"])
def test_without_a_yes_the_space_is_again_that_of_what_was_sold(variation, sold, commission, owner, how):
    was = (commission.space.document, commission.space.typed, commission.space.measured_by)
    neighbour = make_commission(commission.client)
    neighbour.space = commission.space
    neighbour.save()
    other = add_option(neighbour, "A", small_design())
    before = other.gross_minor
    varied = in_other_space(commission)
    assert varied.options.get(letter="A").gross_minor != before
    if how == "declined":
        made = issued(commission, owner, "A")
        decide(made, no_to(made), timezone.now())
    elif how == "ended":
        end_variation(varied, owner, timezone.now())
    else:
        call_off(commission)
    place = fresh(commission).space
    assert (place.document, place.typed, place.measured_by) == was
    assert neighbour.options.get().gross_minor == before
    assert commission.entries.filter(text__contains="the space was 400 mm wide, 260 mm high").count() == 1


def test_a_space_under_a_panel_sold_for_it_meanwhile_stays_and_this_one_has_its_own(
    variation, sold, commission, owner
):
    was, price = commission.space, commission.options.get(letter="A").gross_minor
    neighbour = make_commission(commission.client)
    neighbour.space = commission.space
    neighbour.save()
    image = {"image": b"x", "sha256": "0" * 64, "width_px": 1, "height_px": 1}
    Photograph.objects.create(space=was, **image)
    varied = in_other_space(commission)
    Commission.objects.filter(pk=neighbour.pk).update(stage="approved")
    end_variation(varied, owner, timezone.now())
    own = fresh(commission).space
    assert (own.pk != was.pk, own.client, own.name) == (True, was.client, was.name)
    assert (own.document, own.typed, own.measured_by) == (was.document, was.typed, was.measured_by)
    assert commission.options.get(letter="A").gross_minor == price
    assert fresh(neighbour).space.document == varied.space.document != was.document
    assert [bytes(each.image) for each in own.photographs.all()] == [b"x"]
    assert Photograph.objects.count() == 2
    assert commission.entries.filter(text__contains="has a space of its own again").count() == 1


def test_after_a_yes_the_space_is_the_new_one(variation, sold, commission, owner):
    varied = in_other_space(commission)
    made = issued(commission, owner, "A")
    decide(made, yes_to(made), timezone.now())
    assert fresh(commission).space.document == varied.space.document


DAMAGED = ([], {"terms": {}}, {"schema": 9}, {"terms": {}, "options": {"x": 1}})


@pytest.mark.parametrize("kept", DAMAGED)
def test_what_was_kept_and_cannot_be_read_loses_nothing(variation, sold, commission, owner, signed_in, kept):
    """A no is written down, a cancellation ends; leaving the variation says why it cannot."""
    Commission.objects.filter(pk=commission.pk).update(before_variation=kept)
    made = issued(commission, owner)
    address = f"/proposals/for/{commission.public_id}/"
    answer = signed_in.post(f"{address}variation/end/")
    assert answer.status_code == 422
    decide(made, no_to(made), timezone.now())
    assert is_varied(fresh(commission))
    assert signed_in.get(address).status_code == 200
    erase_client(commission.client, None, timezone.now())
    call_off(commission)
    assert (fresh(commission).stage, fresh(commission).before_variation) == ("cancelled", None)


def test_a_variation_that_never_went_out_is_taken_up_again(variation, commission, owner):
    end_variation(commission, owner, timezone.now())
    assert begin_variation(commission, owner, timezone.now()) == variation
    issued(commission, owner)
    end_variation(commission, owner, timezone.now())
    assert begin_variation(commission, owner, timezone.now()).place == 3


def test_a_page_from_before_the_variation_issues_nothing(variation, commission, owner):
    issued(commission, owner)
    with pytest.raises(Conflict):
        issue_proposal(fresh(commission), ("A",), owner, timezone.now(), after=1)


def test_a_cancellation_ends_everything(variation, sold, commission, owner):
    made = issued(commission, owner)
    ended = call_off(commission)
    assert (ended.decision, ended.owed_minor, ended.currency) == (sold, 1000, "GBP")
    assert fresh(commission).stage == "cancelled"
    assert is_closed(fresh(commission))
    for act in (
        lambda: decide(made, yes_to(made), timezone.now()),
        lambda: begin_variation(fresh(commission), owner, timezone.now()),
        lambda: issued(commission, owner),
        lambda: call_off(commission),
        lambda: release(fresh(commission), today(), owner, timezone.now()),
    ):
        with pytest.raises(Refused):
            act()
    assert Cancellation.objects.count() == 1


@pytest.mark.parametrize("owed", ["-0.01", "9999999.00", "1.001", "1E30", "-1E30"])
def test_more_than_the_price_is_not_owed_and_no_broken_pence(sold, commission, owed):
    with pytest.raises(Refused, match="the price with tax"):
        call_off(commission, owed)
    assert not Cancellation.objects.exists()


def by_hand(commission, owner, stage):
    now = fresh(commission)
    form = about_form(now)
    return save_about(Form({**form.values, "stage": stage}), now, owner)


@pytest.mark.parametrize("stage", ["enquiry", "proposed", "declined", "making", "handed over"])
def test_what_is_cancelled_stays_so_by_hand(sold, commission, owner, stage):
    call_off(commission)
    with pytest.raises(Refused, match="cannot go there by hand"):
        by_hand(commission, owner, stage)
    assert fresh(commission).stage == "cancelled"


def test_what_is_being_varied_is_not_handed_over(variation, sold, commission, owner):
    """A yes to it would be to what the client has already."""
    with pytest.raises(Refused, match="a variation is open"):
        by_hand(commission, owner, "handed over")
    end_variation(fresh(commission), owner, timezone.now())
    by_hand(commission, owner, "handed over")
    assert fresh(commission).stage == "handed over"


def test_work_that_is_not_released_is_not_in_the_workshop_by_hand(sold, commission, owner):
    """Nor back at approval once it is; one that was set so before comes back to what is written down."""
    with pytest.raises(Refused, match="release the work"):
        by_hand(commission, owner, "making")
    Commission.objects.update(stage="making")
    by_hand(commission, owner, "approved")
    release(fresh(commission), today(), owner, timezone.now())
    with pytest.raises(Refused, match="write down the client’s yes"):
        by_hand(commission, owner, "approved")
    by_hand(commission, owner, "handed over")
    with pytest.raises(Refused, match="write down"):
        by_hand(commission, owner, "approved")
    by_hand(commission, owner, "making")
    assert fresh(commission).stage == "making"


def test_what_a_client_may_still_answer_stays_proposed(issue, commission, owner):
    for stage in ("enquiry", "declined"):
        with pytest.raises(Refused, match="withdraw"):
            by_hand(commission, owner, stage)
    withdraw_issue(issue, owner, timezone.now())
    by_hand(commission, owner, "enquiry")
    assert fresh(commission).stage == "enquiry"


def test_who_and_why_are_said_and_can_be_erased(sold, commission, ms_adeyemi):
    with pytest.raises(Refused) as caught:
        cancel(commission, " ", "", Decimal(0), None, timezone.now())
    assert [problem.field for problem in caught.value.problems] == ["who", "why"]
    call_off(commission)
    erase_client(ms_adeyemi, None, timezone.now())
    ended = Cancellation.objects.get()
    assert (ended.who, ended.why, ended.owed_minor) == (None, None, 1000)


def test_a_page_of_what_was_sold_before_cancels_nothing(variation, sold, commission, owner):
    seen = sold.issue.public_id
    made = issued(commission, owner)
    decide(made, yes_to(made, "B"), timezone.now())
    with pytest.raises(Conflict, match="another option is sold by now"):
        call_off(commission, seen=seen)


def test_a_release_names_the_final_day_once(sold, commission, owner):
    with pytest.raises(Refused, match="found"):
        release(commission, today() - timedelta(days=1), owner, timezone.now())
    made = release(commission, today() + timedelta(days=30), owner, timezone.now())
    assert (made.decision, fresh(commission).stage) == (sold, "making")
    assert sold.agreed_on != made.final_on
    with pytest.raises(Conflict, match="released already"):
        release(fresh(commission), today(), owner, timezone.now())
    assert Release.objects.count() == 1


def test_erasing_empties_what_a_variation_kept(sold, commission, owner, ms_adeyemi):
    Commission.objects.filter(pk=commission.pk).update(
        terms={**commission.terms, "discount": {"percent": "5", "reason": "Her birthday"}}
    )
    Space.objects.update(typed={"widths_mm.0": "her desk"}, measured_by="Her brother")
    begin_variation(fresh(commission), owner, timezone.now())
    assert all(word in str(fresh(commission).before_variation) for word in ("birthday", "desk", "brother"))
    erase_client(ms_adeyemi, None, timezone.now())
    kept = str(fresh(commission).before_variation)
    assert not any(word in kept for word in ("birthday", "desk", "brother"))


def at_once(*acts: Callable[[], object]) -> list[str]:
    """What came of each, in threads with connections of their own."""
    barrier, said = threading.Barrier(len(acts)), [""] * len(acts)

    def run(index: int, act: Callable[[], object]) -> None:
        barrier.wait()
        while not said[index]:
            try:
                act()
                said[index] = "done"
            except Refused:
                said[index] = "refused"
            except OperationalError:  # SQLite in memory does not wait for its lock, as a file does
                continue
        connection.close()

    threads = [threading.Thread(target=run, args=pair) for pair in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return said


def test_a_space_of_last_year_that_is_only_written_anew_was_no_other(sold, commission, owner):
    """Terms are saved with the space and the design beside them, in the schemas of today."""
    space = Space.objects.get(pk=commission.space_id)
    measured, design = SPACE.read(space.document), commission.options.first().design
    sides = {name: [str(mm) for mm in getattr(measured, name)] for name in ("widths_mm", "heights_mm")}
    Space.objects.update(document={**sides, "measured": True})
    commission.options.filter(letter="A").update(design={k: v for k, v in design.items() if k != "schema"})
    begin_variation(fresh(commission), owner, timezone.now())
    Space.objects.update(document=SPACE.write(SPACE.read(Space.objects.get(pk=space.pk).document)))
    commission.options.filter(letter="A").update(design=design)
    end_variation(fresh(commission), owner, timezone.now())
    assert not commission.entries.filter(text__startswith="For a variation the space was").exists()
    assert commission.options.get(letter="A").changes.count() == 0


@pytest.mark.django_db(transaction=True)
def test_of_two_variations_at_once_one_is_begun(sold, commission, owner):
    begin = lambda: begin_variation(fresh(commission), owner, timezone.now())  # noqa: E731
    assert sorted(at_once(begin, begin)) == ["done", "refused"]
    assert sorted(Proposal.objects.values_list("place", flat=True)) == [1, 2]


@pytest.mark.django_db(transaction=True)
def test_a_yes_and_a_cancellation_at_once(variation, sold, commission, owner):
    """A yes that comes first is what is cancelled, or it finds the commission ended."""
    made = issued(commission, owner)
    said = at_once(lambda: decide(made, yes_to(made, "B"), timezone.now()), lambda: call_off(commission))
    assert said[1] == "done"
    assert Cancellation.objects.get().decision == newest_yes(commission)
    assert Decision.objects.filter(answer="approved").count() == (2 if said[0] == "done" else 1)
    assert fresh(commission).stage == "cancelled"


@pytest.mark.django_db(transaction=True)
def test_a_no_and_the_end_of_a_variation_at_once(variation, sold, commission, owner):
    made = issued(commission, owner)
    said = at_once(
        lambda: decide(made, no_to(made), timezone.now()),
        lambda: end_variation(fresh(commission), owner, timezone.now()),
    )
    assert sorted(said) == ["done", "refused"]
    state = ProposalIssue.objects.get(pk=made.pk).state
    assert (state, Decision.objects.filter(answer="declined").count()) in (("issued", 1), ("withdrawn", 0))
    assert fresh(commission).before_variation is None
