"""A client is told days and what they hang on, never how likely they are: on page, on paper, in letters."""

import io
import re
from datetime import timedelta
from html import unescape

from django.utils import timezone
from pypdf import PdfReader

from studio.letters.models import Letter
from studio.proposals.appointments import Agreed, agree
from studio.proposals.days import days_named
from studio.proposals.deciding import decide
from studio.proposals.sending import send_issue
from studio.proposals.stored import pdf_of, read
from studio.workshop.clock import today
from tests.proposals.conftest import yes_to

ODDS = re.compile(
    r"\b\w+ (?:of|in|out of) (?:10|ten|100)\b|\bcases\b|\bchances?\b|\bodds\b|likel|probab|seeded"
    r"|courses of making|holds? in|\b(?:80|90|95) ?%",
    re.IGNORECASE,
)


def words(answer) -> str:
    """What is read on a page."""
    assert answer.status_code == 200
    found = re.sub(r"<(style|script|svg).*?</\1>|<[^>]*>", " ", answer.content.decode(), flags=re.DOTALL)
    return " ".join(unescape(found).split())


def test_no_odds_on_the_page_on_paper_or_in_letters(
    client, signed_in, issue, link, commission, owner, monkeypatch
):
    page = f"/p/{link.token}/"
    making = signed_in.get(f"/commissions/{commission.public_id}/options/A/making/")
    assert ODDS.search(words(making)), "the studio reads them, so this would find them"
    texts = {"fresh": words(client.get(page))}
    texts["pdf"] = "\n".join(each.extract_text() for each in PdfReader(io.BytesIO(pdf_of(issue))).pages)
    send_issue(link, f"http://studio.example{page}", owner, timezone.now())
    later = timezone.now() + timedelta(days=21)
    assert later.date() <= issue.valid_until
    monkeypatch.setattr(timezone, "now", lambda: later)
    signed_in.force_login(owner)  # the session is over
    texts["lapsed"] = words(client.get(page))
    assert "; issued as" in texts["lapsed"]
    send_issue(link, f"http://studio.example{page}", owner, later)
    ready_on = days_named(issue, read(issue), today())["A"].ready_on
    yes = decide(issue, yes_to(issue, ready_on=ready_on), later, link=link)
    given = {"day": ready_on, "sold": issue.public_id, "seen": 0, "whom": "Ms Adeyemi", "anyway": True}
    agree(yes, Agreed(what="hanging", **given), owner, later)
    texts["sold"] = words(client.get(page))
    appointments = signed_in.get(f"/proposals/for/{commission.public_id}/appointments/")
    start = signed_in.get(f"/jobs/for/{commission.public_id}/start/")
    texts |= {"appointment": words(appointments), "start": words(start)}
    texts |= {str(letter): f"{letter.subject} {letter.body}" for letter in Letter.objects.all()}
    assert len(texts) == 8
    assert {name: ODDS.findall(text) for name, text in texts.items() if ODDS.search(text)} == {}
