"""Rendering takes most of the time of an issue; test_pdf.py looks at it closely, other tests need any PDF."""

import json

import pytest

from studio.proposals import issuing

RENDERED: dict[str, bytes] = {}


def render_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Issues get a real PDF, but one for each choice of letters, with or without the workings."""
    render = issuing.render_pdf

    def once(frozen, options):
        annex = json.loads(frozen.figures)["annex"]
        key = "".join(f"{option.letter}{annex}" for option in options)
        if key not in RENDERED:
            RENDERED[key] = render(frozen, options)
        return RENDERED[key]

    monkeypatch.setattr(issuing, "render_pdf", once)
