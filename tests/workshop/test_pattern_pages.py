"""The workshop's page of patterns: what is listed, what a sent file is answered with."""

import html
import json
import re
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client as Browser
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from studio.lattice.patterns import patterns
from studio.workshop.models import PatternRevision
from studio.workshop.own_patterns import usable
from studio.workshop.pattern_file import LARGEST_BYTES

pytestmark = pytest.mark.one_engine

PAGE = "/workshop/patterns/"
FILE: dict[str, Any] = {
    "slug": "fork",
    "name": "Fork & <b>",
    "lattice": "square",
    "whole": [
        {"kind": "line", "points": [[-0.5, 0], [0.5, 0]]},
        {"kind": "line", "points": [[0, 0], [0, 0.5]]},
    ],
}


def send(browser: Browser, data: bytes) -> HttpResponse:
    return browser.post(PAGE, {"file": SimpleUploadedFile("mine.json", data)})


def document_in(page: str) -> str:
    found = re.search(r'name="document" value="([^"]*)"', page)
    assert found
    return html.unescape(found[1])


def store(browser: Browser, **changed: object) -> None:
    page = send(browser, json.dumps(FILE | changed).encode()).content.decode()
    assert browser.post(PAGE, {"document": document_in(page)}).status_code == 302


def test_every_pattern_of_the_program_is_listed_with_a_swatch(signed_in: Browser) -> None:
    page = signed_in.get(PAGE).content.decode()
    listed = [pattern for pattern in patterns() if not pattern.is_open]
    assert [pattern.name for pattern in listed if f"<h3>{pattern.name}</h3>" not in page] == []
    assert page.count("<svg") == len(listed)
    assert len(re.findall(r'id="([^"]+)"', page)) == len(set(re.findall(r'id="([^"]+)"', page)))
    assert page.count("cells from") == len(listed)


def test_the_page_is_small(signed_in: Browser) -> None:
    answer = signed_in.get(PAGE, headers={"accept-encoding": "gzip"})
    assert len(answer.content) < 600 * len(patterns())


def test_more_patterns_need_no_more_queries(signed_in: Browser, django_assert_num_queries) -> None:
    for slug in ("fork", "prong", "tine"):
        store(signed_in, slug=slug, name=slug)
        signed_in.get(PAGE)  # the message of the one stored
        with django_assert_num_queries(6):  # session, person, own ones, retired ones, rate book, studio
            signed_in.get(PAGE)


def test_a_file_is_judged_before_it_is_stored(signed_in: Browser) -> None:
    answer = send(signed_in, json.dumps(FILE).encode())
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "Fork &amp; &lt;b&gt;, revision&nbsp;1: it can be printed" in page
    assert "at least 10 mm" in page
    assert len(re.findall('class="main"', page)) == 1
    assert not PatternRevision.objects.exists()
    answer = signed_in.post(PAGE, {"document": document_in(page)}, follow=True)
    assert "Fork &amp; &lt;b&gt; is stored as revision 1" in answer.content.decode()
    assert [(p.slug, p.revision) for p in usable("square")] == [("fork", 1)]
    row = PatternRevision.objects.get()
    assert row.by
    assert row.by.display_name == "Runa"


def test_a_byte_order_mark_does_no_harm(signed_in: Browser) -> None:
    assert send(signed_in, b"\xef\xbb\xbf" + json.dumps(FILE).encode()).status_code == 200


def test_the_next_file_is_the_next_revision(signed_in: Browser) -> None:
    store(signed_in)
    page = send(signed_in, json.dumps(FILE | {"strip_factor": 1.5}).encode()).content.decode()
    assert "revision&nbsp;2: it can be printed" in page
    store(signed_in, strip_factor=1.5)
    assert "revision 2 of <code>fork</code>" in signed_in.get(PAGE).content.decode()


def test_a_retired_pattern_is_told_apart(signed_in: Browser) -> None:
    store(signed_in)
    page = signed_in.post(f"{PAGE}fork/retire/", follow=True).content.decode()
    assert "is retired" in page
    assert "Designs that have them keep them" in page
    assert f"{PAGE}fork/retire/" not in page
    assert signed_in.post(f"{PAGE}fork/retire/").status_code == 302  # pressed twice
    assert usable("square") == ()


def test_nothing_to_retire(signed_in: Browser) -> None:
    assert signed_in.post(f"{PAGE}fork/retire/").status_code == 404
    assert signed_in.get(f"{PAGE}fork/retire/").status_code == 405


def test_strangers_store_and_retire_nothing(client: Browser, signed_in: Browser) -> None:
    store(signed_in)
    signed_in.logout()
    for place in (PAGE, f"{PAGE}fork/retire/"):
        assert client.post(place, {"document": json.dumps(FILE)})["Location"].startswith("/sign-in/")
    assert len(usable("square")) == 1


def test_makers_keep_patterns_too(client: Browser, maker) -> None:
    """As they do the rates: the workshop's pages are for everybody who signs in."""
    client.force_login(maker)
    store(client)
    assert client.post(f"{PAGE}fork/retire/").status_code == 302


BAD = {
    "nothing": (b"", "not JSON"),
    "words": (b"a fork", "not JSON"),
    "no text": (b"\x89PNG\r\n\x1a\n\x00", "not UTF-8"),
    "UTF-16": (json.dumps(FILE).encode("utf-16"), "not UTF-8"),
    "a list": (b"[]", "object with keys"),
    "deep": (b"[" * 100_000, "not JSON"),
    "large": (b" " * (LARGEST_BYTES + 1), "larger than 200 kB"),
    "no strokes": (json.dumps(FILE | {"whole": []}).encode(), "no strokes"),
    "a slug with blanks": (json.dumps(FILE | {"slug": "a fork"}).encode(), "In slug, found"),
    "the program's": (json.dumps(FILE | {"slug": "cross"}).encode(), "comes with the program"),
    "NUL": (json.dumps(FILE | {"name": "a\0b"}).encode(), "Plain words on one line"),
    "half a letter": (json.dumps(FILE | {"name": "\ud800"}).encode(), "whole characters"),
    "thin": (json.dumps(FILE | {"strip_factor": 0.2}).encode(), "two beads"),
    "loose": (
        json.dumps(
            FILE
            | {"whole": [{"kind": "line", "points": [[x, -0.5], [x, 0.5]]} for x in (-0.2, 0.2)]}
        ).encode(),
        "fall apart",
    ),
    "ten thousand strokes": (
        json.dumps(FILE | {"whole": [{"kind": "fill", "points": []}] * 5_000}).encode(),
        "at most 200",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_is_refused_with_reasons(signed_in: Browser, name: str) -> None:
    data, reason = BAD[name]
    answer = send(signed_in, data)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert reason in page
    assert 'name="document"' not in page
    assert not PatternRevision.objects.exists()


def test_no_file_is_refused(signed_in: Browser) -> None:
    for sent in ({}, {"file": "fork.json"}):
        answer = signed_in.post(PAGE, sent)
        assert answer.status_code == 422
        assert "Choose a pattern file" in answer.content.decode()


def test_what_is_stored_is_checked_again(signed_in: Browser) -> None:
    """The text comes from a hidden field, which anybody can change; somebody else may have been faster."""
    assert signed_in.post(PAGE, {"document": "[]"}).status_code == 422
    store(signed_in)
    answer = signed_in.post(PAGE, {"document": json.dumps(FILE)})
    assert answer.status_code == 422
    assert "there already" in answer.content.decode()


def test_thousands_of_mistakes_are_not_all_told(signed_in: Browser) -> None:
    wrong = FILE | {"whole": [{"kind": "line", "points": [["x", 9]] * 50}] * 100}
    page = send(signed_in, json.dumps(wrong).encode()).content.decode()
    assert page.count('<li><a href="#f-file">') == 13
    assert "more such places" in page


NUMBER = st.one_of(st.floats(-1, 1), st.sampled_from([0, 0.5, -0.5, 1e308, "1,5", None, True]))
POINT = st.lists(NUMBER, min_size=2, max_size=2)
STROKE = st.fixed_dictionaries(
    {"kind": st.sampled_from(["line", "fill", "arc"])},
    optional={
        "points": st.lists(POINT, min_size=1, max_size=5),
        "centre": POINT,
        **dict.fromkeys(("radius", "start_deg", "end_deg"), NUMBER),
    },
)
STROKES = st.lists(STROKE, max_size=4)
LIKE_PATTERNS = st.fixed_dictionaries(
    {
        "slug": st.just("fork"),
        "name": st.text(max_size=9),
        "lattice": st.sampled_from(["square", "three-way"]),
    },
    optional={"whole": STROKES, "half": STROKES, "rim": st.sampled_from(["always", "if needed"])},
)
SQUARE_ONES = st.fixed_dictionaries(
    {
        **{name: st.just(value) for name, value in FILE.items()},
        "rim": st.sampled_from(["always", "if needed", "never"]),
        "whole": st.lists(
            st.builds(
                lambda points: {"kind": "line", "points": points},
                st.lists(st.tuples(st.floats(-1, 1), st.floats(-1, 1)), min_size=2, max_size=4),
            ),
            min_size=1,
            max_size=4,
        ),
    }
)
BYTES = st.one_of(
    st.binary(max_size=300),
    *(kind.map(lambda it: json.dumps(it).encode()) for kind in (LIKE_PATTERNS, SQUARE_ONES)),
)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(data=BYTES)
def test_any_bytes_are_refused_or_stored(signed_in: Browser, data: bytes) -> None:
    before = PatternRevision.objects.count()
    answer = send(signed_in, data)
    assert answer.status_code in (200, 422)
    assert PatternRevision.objects.count() == before
    if answer.status_code == 200:
        sent = signed_in.post(PAGE, {"document": document_in(answer.content.decode())})
        assert sent.status_code == 302
        assert PatternRevision.objects.count() == before + 1
        assert signed_in.get(PAGE).status_code == 200
