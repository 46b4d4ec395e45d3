"""What tests of bookings share: what a browser would post, and what an issue takes of the workshop."""

import re
from html import unescape

from django.utils import timezone

from studio.proposals.deciding import decide
from studio.proposals.issuing import issue_proposal
from studio.proposals.selling import begin_variation
from studio.workshop.stock import counted
from tests.proposals.conftest import yes_to


def stocked() -> None:
    """So much of each filament lies on the shelf that no day waits for a delivery."""
    for filament in ("Tea", "Walnut", "Indigo"):
        counted(filament, 100_000_00, None)


def filled(page: str) -> dict[str, str]:
    """What a browser would post, when nothing is changed."""
    fields = re.findall(r'<input[^>]*name="(takes[^"]*)"[^>]*>', page)
    found = {}
    for tag in re.findall(r"<input[^>]*>", page):
        name, value = (re.search(rf' {key}="([^"]*)"', tag) for key in ("name", "value"))
        if name and name[1].startswith("takes") and 'type="checkbox"' not in tag:
            found[name[1]] = unescape(value[1]) if value else ""
    assert found.keys() == set(fields)
    return found


def varied(commission, owner):
    """An issue of a variation, and the yes to it."""
    begin_variation(commission, owner, timezone.now())
    issue = issue_proposal(commission, ("A",), owner, timezone.now())
    return issue, decide(issue, yes_to(issue), timezone.now(), link=issue.links.get())
