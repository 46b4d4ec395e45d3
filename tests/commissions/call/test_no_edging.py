"""A panel without an edging: no such words, and its colour is kept for when one is wanted again."""

import pytest
from django.test import Client as Browser

from studio.commissions.models import Option
from tests.commissions.conftest import Words

pytestmark = pytest.mark.one_engine

HTMX = {"HX-Request": "true"}


def test_words_follow_the_edging(signed_in: Browser, option: Option, address: str, words: Words) -> None:
    assert "edged in" in signed_in.get(address).content.decode()
    for width, said, unsaid in (("0", "without an edging", "edged in"), ("12 mm", "edged in", "without an")):
        answer = signed_in.post(address, words(**{"design.edging_width_mm": width}), headers=HTMX)
        page = answer.content.decode()
        assert answer.status_code == 200
        assert said in page
        assert unsaid not in page
        assert ("Fitting the edging" in page) is (said == "edged in")
        assert Option.objects.get(pk=option.pk).design["edging_filament"] == option.design["edging_filament"]
