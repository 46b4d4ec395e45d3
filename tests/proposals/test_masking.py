"""Whoever reads the log cannot answer for a client."""

import io
import logging

from studio.proposals.masking import NoTokens


def console():
    return next(
        handler
        for handler in logging.getLogger().handlers
        if any(isinstance(found, NoTokens) for found in handler.filters)
    )


def test_a_refused_answer_does_not_log_its_token(client, link):
    handler, said = console(), io.StringIO()
    before = handler.setStream(said)
    assert client.post(f"/p/{link.token}/answer/").status_code == 409
    handler.setStream(before)
    assert "/p/…/answer/" in said.getvalue()
    assert link.token not in said.getvalue()
