"""Work is released for a size that we taped, and for no other; another panel within the range that was agreed
needs one word of the client."""

import json
from decimal import Decimal
from html import unescape

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from studio.commissions.models import Commission, Entry
from studio.jobs.agreed import agreed_of
from studio.jobs.facts import facts_of
from studio.jobs.paying import paid_of
from studio.jobs.releasing import Released, release_sold
from studio.problem import Conflict, Refused
from studio.proposals.booking import amounts_of, source_of
from studio.proposals.erasing import erase_client
from studio.proposals.issuing import issue_proposal
from studio.proposals.models import Release, Taping
from studio.proposals.newest import newest_yes
from studio.proposals.refit import agreed_option, making_of_refit, option_of_refit
from studio.proposals.selling import begin_variation
from studio.proposals.stored import Damaged, making_of, read
from studio.proposals.taping import Taped, WordNeeded, tape
from studio.voice import PLAIN
from studio.workshop.bookings import job_of
from studio.workshop.books import book_of, save_book
from studio.workshop.clock import today
from studio.workshop.models import RateBookRevision
from tests.guards import lifted
from tests.jobs.conftest import approve
from tests.proposals.conftest import add_option, make_commission, small_design
from tests.two_tabs import forms_of


@pytest.fixture
def yes(commission, owner):
    """To option A for 320 by 260 mm, taped by the client: 10 mm out at most."""
    space = commission.space
    origin = "taped by the client"
    space.document = {**space.document, "width_origin": origin, "height_origin": origin}
    space.save()
    return approve(issue_proposal(commission, ("A",), owner, timezone.now()))


@pytest.fixture
def address(commission, yes):
    return f"/jobs/for/{commission.public_id}/taping/"


def given(yes, width="320", height="260 mm", **more):
    return Taped(
        **{"sold": yes.issue.public_id, "width": width, "height": height, "taped_on": today(), **more}
    )


def word():
    """Of today, whatever day it is by then."""
    return {"who": "Ms Adeyemi", "how": "telephone", "said_on": today()}


def other_panel(yes):
    """A size within 10 mm that another panel fits, and its price in minor units."""
    for width in ("312", "328", "310", "330"):
        for height in ("260", "252", "268", "270", "250"):
            found = asked(yes, width, height)
            if found and round(found.gross * 100) != yes.gross_minor:
                return width, height, found
    raise AssertionError("every panel costs the same")


def asked(yes, width, height):
    """The price to which the client's word is needed."""
    try:
        with transaction.atomic():
            tape(yes.proposal.commission, given(yes, width, height), None, timezone.now())
            transaction.set_rollback(True)
    except WordNeeded as needed:
        return needed.sent.estimate.price
    except Refused:
        return None


def refitted(yes, owner):
    width, height, price = other_panel(yes)
    minor = round(price.gross * 100)
    said = given(yes, width, height, price_minor=minor, **word())
    return tape(yes.proposal.commission, said, owner, timezone.now())


def released(yes, **more):
    facts = facts_of(yes)
    asked = Released(
        final_on=today(), seen=facts.seen, sold=yes.issue.public_id, heard="nothing", anyway=True
    )
    return release_sold(yes.proposal.commission, asked, None, timezone.now())


def test_nothing_is_released_for_a_size_that_we_did_not_tape(signed_in, commission, yes, address):
    with pytest.raises(Refused, match="not taped by us"):
        released(yes)
    assert not Release.objects.exists()
    start = signed_in.get(address.replace("taping", "start"))
    assert f'href="{address}"' in start.content.decode()
    (form,) = [each for each in forms_of(start) if "release.final_on" in each]
    answer = signed_in.post(
        address.replace("taping", "release"), form | {"release.anyway": "on", "release.heard": "nothing"}
    )
    assert answer.status_code == 422
    assert "not taped by us" in answer.content.decode()


def test_a_size_that_we_had_taped_needs_no_more(commission, issue):
    released(approve(issue))
    assert Release.objects.count() == 1
    with pytest.raises(Conflict, match="taped by us already"):
        tape(commission, given(newest_yes(commission)), None, timezone.now())


def test_where_the_agreed_panel_fits_nothing_changes(signed_in, commission, yes, address, owner):
    before = agreed_of(yes), amounts_of(yes), yes.sold_minor
    form = next(each for each in forms_of(signed_in.get(address)) if "taping.width" in each)
    answer = signed_in.post(address, form | {"taping.width": "320.5 mm", "taping.height": "26 cm"})
    assert answer.status_code == 302
    row = Taping.objects.get()
    assert (row.figures, row.gross_minor, row.who, row.by) == (None, None, None, owner)
    now = newest_yes(commission)
    assert (agreed_of(now), amounts_of(now), now.sold_minor) == before
    commission.space.refresh_from_db()
    assert commission.space.document["widths_mm"] == ["320.5"]
    assert commission.space.document["width_origin"] == "taped by us"
    released(now)


def test_another_panel_within_the_range_needs_one_word(signed_in, commission, yes, address):
    width, height, price = other_panel(yes)
    range_agreed = agreed_option(yes, read(yes.issue))["estimate"]["price_range"]["gross"]
    assert Decimal(range_agreed[0]) <= price.gross <= Decimal(range_agreed[1])
    form = next(each for each in forms_of(signed_in.get(address)) if "taping.width" in each)
    sized = form | {"taping.width": width, "taping.height": height}
    asked = signed_in.post(address, sized)
    assert asked.status_code == 422
    assert "Who said yes" in asked.content.decode()
    assert not Taping.objects.exists()
    word = {"taping.who": "Zoë <b>", "taping.how": "on the spot", "taping.said_on": today().isoformat()}
    form = next(each for each in forms_of(asked) if "taping.who" in each)
    assert signed_in.post(address, form | word).status_code == 302
    row = Taping.objects.get()
    assert (row.who, row.how, row.gross_minor) == ("Zoë <b>", "on the spot", round(price.gross * 100))
    assert "Zoë &lt;b&gt;" in signed_in.get(address).content.decode()
    assert "Zoë" not in Entry.objects.latest("pk").text
    sold = signed_in.get(f"/proposals/for/{commission.public_id}/").content.decode()
    assert "fitted anew to the size that we taped" in sold
    assert signed_in.post(address, form | word).status_code == 409
    assert Taping.objects.count() == 1


def test_what_is_sold_owed_and_booked_is_the_panel_that_is_made(commission, yes, owner):
    agreed, booked = agreed_of(yes), amounts_of(yes)
    row = refitted(yes, owner)
    now = newest_yes(commission)
    option = option_of_refit(row)
    assert now.sold_minor == row.gross_minor != yes.gross_minor
    assert sum(stage.gross_minor for stage in agreed_of(now).stages) == row.gross_minor
    assert agreed_of(now).stages[:-1] == agreed.stages[:-1]  # may be paid already: the last takes it all
    last, was = agreed_of(now).stages[-1], agreed.stages[-1]
    assert last.gross_minor - was.gross_minor == row.gross_minor - yes.gross_minor
    assert (
        last.net_minor + last.tax_minor
        == last.gross_minor
        == sum(tax.net_minor + tax.tax_minor for tax in last.taxes)
    )
    assert paid_of(now).stages[0].stage.gross_minor == agreed_of(now).stages[0].gross_minor
    assert amounts_of(now) != booked
    job = job_of(source_of(yes.issue))
    assert (job.state, dict(job.amounts)) == ("firm", dict(amounts_of(now)))
    assert option["letter"] == "A"
    assert option["space"]["width_origin"] == "taped by us"
    assert option["estimate"]["price_range"] is None
    released(now)


def test_the_making_is_that_of_the_panel_that_is_made_under_another_that_is_sold(
    signed_in, commission, yes, owner
):
    """The workshop reads the plates that were frozen, and the neighbour's panel stays what it was."""
    neighbour = make_commission(commission.client)
    neighbour.space = commission.space
    neighbour.save()
    before = add_option(neighbour, "A", small_design()).gross_minor
    Commission.objects.filter(pk=neighbour.pk).update(stage="approved")
    row = refitted(yes, owner)
    now = Commission.objects.get(pk=commission.pk)
    assert now.options.get(letter="A").gross_minor == row.gross_minor != yes.gross_minor
    page = signed_in.get(f"/commissions/{now.public_id}/options/A/making/").content.decode()
    made, agreed = making_of_refit(row), making_of(yes.issue, read(yes.issue))["A"]
    grams = [{PLAIN.number(Decimal(use["mass_g"])) for use in each["filaments"]} for each in (made, agreed)]
    assert all(f"<strong>{each}</strong>" in page for each in grams[0])
    assert not any(f"<strong>{each}</strong>" in page for each in grams[1])
    assert now.space.document["widths_mm"] == row.space["widths_mm"]
    assert (now.space.document == row.space, now.space_id != neighbour.space_id) == (True, True)
    neighbour.refresh_from_db()
    assert neighbour.space.document["widths_mm"] == ["320"]
    assert neighbour.options.get().gross_minor == before


def test_a_seam_that_the_panel_has_no_place_for_is_not_in_the_option(commission, owner):
    """A fixed seam after the last row but one of ten, where nine fit into what was taped."""
    space, option = commission.space, commission.options.get(letter="A")
    origins = {"width_origin": "taped by the client", "height_origin": "taped by the client"}
    space.document = {**space.document, **origins}
    space.save()
    option.design = {**option.design, "seams_after_rows": [9]}
    option.save()
    yes = approve(issue_proposal(commission, ("A",), owner, timezone.now()))
    minor = round(asked(yes, "320", "250").gross * 100)
    row = tape(commission, given(yes, "320", "250", price_minor=minor, **word()), owner, timezone.now())
    option.refresh_from_db()
    assert option_of_refit(row)["estimate"]["fit"]["rows"] == 9
    assert (option.design["seams_after_rows"], option.gross_minor) == ([], row.gross_minor)
    assert option.changes.last().design == option.design


def test_the_client_reads_of_it_on_the_page(client, commission, yes, owner):
    row = refitted(yes, owner)
    token = yes.issue.links.get().token
    page = " ".join(unescape(client.get(f"/p/{token}/").content.decode()).split())
    assert "We taped the space on" in page
    net = Decimal(option_of_refit(row)["estimate"]["net"])  # a business
    assert f"£{net:,.2f} without tax, within the range that was agreed" in page


@pytest.mark.parametrize(
    ("typed", "field", "says"),
    [
        ({"width": ""}, "width", ""),
        ({"width": "about 320"}, "width", "not “about”"),
        ({"width": "wide"}, "width", ""),
        ({"height": "1 mm"}, "height", ""),
        ({"taped_on": "2020-01-01"}, "taped_on", "not between the proposal and today"),
        ({"taped_on": "soon"}, "taped_on", ""),
        ({"width": "500"}, "width", "more than 10 mm from the 320 mm"),
        ({"width": "60"}, "width", "whole cell"),
    ],
)
def test_sizes_that_cannot_be_are_refused(signed_in, address, typed, field, says):
    form = next(each for each in forms_of(signed_in.get(address)) if "taping.width" in each)
    sized = (
        form | {"taping.width": "320", "taping.height": "260"} | {f"taping.{k}": v for k, v in typed.items()}
    )
    answer = signed_in.post(address, sized)
    assert answer.status_code == 422
    page = unescape(answer.content.decode())
    assert says in page
    assert 'aria-invalid="true"' in page
    assert not Taping.objects.exists()


def test_rates_that_were_saved_again_unchanged_are_the_same(yes, owner):
    revision = RateBookRevision.objects.order_by("pk").last()
    save_book(book_of(revision), owner, today())
    assert RateBookRevision.objects.filter(sha256=revision.sha256).count() == 2
    assert refitted(yes, owner).figures


def test_a_price_outside_of_the_range_is_a_variation(yes, monkeypatch):
    width, height, _price = other_panel(yes)
    option = agreed_option(yes, read(yes.issue))
    narrow = {"net": ["1.00", "2.00"], "gross": ["1.00", "2.00"]}
    monkeypatch.setattr(
        "studio.proposals.refit.agreed_option",
        lambda *_: {**option, "estimate": {**option["estimate"], "price_range": narrow}},
    )
    with pytest.raises(Refused, match="begin a variation"):
        tape(yes.proposal.commission, given(yes, width, height), None, timezone.now())


def test_a_word_to_another_price_than_was_shown_is_asked_again(yes):
    width, height, price = other_panel(yes)
    said = given(yes, width, height, price_minor=round(price.gross * 100) + 1, **word())
    with pytest.raises(WordNeeded, match="another panel fits"):
        tape(yes.proposal.commission, said, None, timezone.now())


def test_not_while_a_variation_is_open(commission, yes, owner):
    begin_variation(commission, owner, timezone.now())
    with pytest.raises(Conflict, match="a variation is open"):
        tape(commission, given(yes), owner, timezone.now())


def test_the_database_keeps_it(commission, yes, owner):
    row = refitted(yes, owner)
    for change in ({"gross_minor": 1}, {"figures": b"{}"}, {"said_on": None}, {"who": "somebody else"}):
        with pytest.raises(IntegrityError), transaction.atomic():
            Taping.objects.filter(pk=row.pk).update(**change)
    with pytest.raises(IntegrityError), transaction.atomic():
        row.delete()
    with pytest.raises(IntegrityError), transaction.atomic():
        Taping.objects.create(decision=yes, space={}, taped_on=today(), at=timezone.now())
    with transaction.atomic(), lifted(transaction.get_connection()):
        Taping.objects.filter(pk=row.pk).update(figures=json.dumps({"option": {}}).encode())
    with pytest.raises(Damaged):
        agreed_of(newest_yes(commission))


def test_who_said_it_goes_with_the_person_and_the_figures_stay(signed_in, address, yes, owner):
    row = refitted(yes, owner)
    erase_client(yes.issue.client, owner, timezone.now())
    row.refresh_from_db()
    assert row.who is None
    assert row.figures is not None
    assert "a person since erased" in signed_in.get(address).content.decode()


def test_nothing_agreed_has_nothing_to_be_taped(signed_in, commission):
    assert signed_in.get(f"/jobs/for/{commission.public_id}/taping/").status_code == 404
