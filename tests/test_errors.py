"""What people read when something is not there or goes wrong."""

import pytest
from django.template.loader import render_to_string
from django.test import Client


@pytest.mark.django_db
def test_an_unknown_address_says_so_to_those_who_are_signed_in(signed_in):
    answer = signed_in.get("/no/such/page/")
    assert answer.status_code == 404
    assert "Nothing is here" in answer.content.decode()


@pytest.mark.parametrize(
    "template", ["400.html", "403.html", "403_csrf.html", "404.html", "405.html", "413.html", "500.html"]
)
def test_error_pages_need_nothing_from_a_view(template):
    page = render_to_string(template)
    assert "<h1>" in page
    assert "Traceback" not in page


@pytest.mark.django_db
def test_a_stale_form_is_refused_in_plain_words():
    answer = Client(enforce_csrf_checks=True).post(
        "/sign-in/", {"username": "a@example.com", "password": "x"}
    )
    assert answer.status_code == 403
    assert "Please repeat that" in answer.content.decode()


@pytest.mark.django_db
def test_an_address_for_forms_says_so_when_it_is_opened(signed_in):
    answer = signed_in.get("/sign-out/")
    assert answer.status_code == 405
    assert "POST" in answer["Allow"]
    assert "Only a form opens this" in answer.content.decode()
