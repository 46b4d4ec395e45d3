"""Two clients say yes in the same second, in processes of their own, and each of them twice: both are booked,
once, and what the next client is told knows of both."""

import json

import pytest
from django.utils import timezone

from studio.commissions.estimating import estimate_option
from studio.making.booked import summed
from studio.proposals.booking import source_of
from studio.proposals.issuing import issue_proposal
from studio.workshop.bookings import job_of
from studio.workshop.clock import today
from studio.workshop.shop import current_shop
from tests.processes import environment, run, started_together
from tests.proposals.booked import stocked
from tests.proposals.conftest import add_option, make_commission, small_design

YES = """
import json, sys
import django
django.setup()
from django.utils import timezone
from studio.problem import Conflict
from studio.proposals.deciding import decide
from studio.proposals.models import ProposalIssue
from tests.proposals.conftest import yes_to

issue = ProposalIssue.objects.get(public_id=sys.argv[1])
answer = yes_to(issue)
print("ready", flush=True)
sys.stdin.readline()
for _twice in range(2):
    try:
        decide(issue, answer, timezone.now())
        print("yes")
        break
    except Conflict as conflict:
        if conflict.problems[0].field != "ready_on":
            print("decided already")
            break
        answer = yes_to(issue)  # the other client was first: the day that is left is read, and agreed to
"""
NEXT = """
import json
import django
django.setup()
from studio.commissions.estimating import estimate_option
from studio.commissions.models import Option
from studio.workshop.clock import today
from studio.workshop.models import BookingStep
steps = BookingStep.objects.order_by("booking", "sequence").values_list("booking__source", "state")
dates = estimate_option(Option.objects.latest("pk"), today()).dates
print(json.dumps([list(steps), dates.held_working_days]))
"""


@pytest.mark.django_db(transaction=True)
def test_two_yeses_in_the_same_second(commission, ms_adeyemi, owner, tmp_path):
    stocked()
    second = make_commission(ms_adeyemi)
    add_option(second, "A", small_design())
    issues = [issue_proposal(each, ("A",), owner, timezone.now()) for each in (commission, second)]
    third = add_option(make_commission(ms_adeyemi), "A", small_design())
    env = environment(tmp_path)
    alone, busy = (days_of(third, issues[:count]) for count in (0, 2))
    assert alone < busy
    said = started_together([run(env, YES, issue.public_id) for issue in issues for _twice in range(2)])
    assert sorted(map(str.strip, said)) == ["decided already"] * 2 + ["yes"] * 2
    with run(env, NEXT) as reader:
        steps, days = json.loads(reader.communicate()[0])
    states = ("offered", "firm")
    assert sorted(map(tuple, steps)) == sorted(
        (source_of(each), state) for each in issues for state in states
    )
    assert days == busy


def days_of(option, issues) -> int:
    """The next client's days behind what these issues offer, of which nothing is booked yet."""
    jobs = [job_of(source_of(issue)) for issue in issues]
    taken = summed(job.amounts for job in jobs if job)
    shop = current_shop(today(), more=taken)
    return estimate_option(option, today(), shop).dates.held_working_days
