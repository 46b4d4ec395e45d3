import pytest

from tests.proposals.rendered import render_once


@pytest.fixture(autouse=True)
def _quick(monkeypatch):
    render_once(monkeypatch)
