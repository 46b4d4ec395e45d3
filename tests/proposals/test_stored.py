"""What is read back is what was sealed, or nothing."""

import zlib

import pytest

from studio.proposals.stored import Damaged, costs_of, drawings_of, making_of, pdf_of, read


def test_documents_as_they_were(issue):
    stored = read(issue)
    assert stored.letters == ("A", "B")
    assert drawings_of(issue, stored)["B"]["thumbnail"].startswith("<svg")
    assert stored.sheet.number == issue.proposal.number
    assert (making_of(issue, stored) or {}).keys() == (costs_of(issue, stored) or {}).keys() == {"A", "B"}


@pytest.mark.parametrize("document", ["figures", "parties"])
def test_a_changed_byte_is_noticed(issue, document):
    setattr(issue, document, bytes(getattr(issue, document)).replace(b'"schema":2', b'"schema":1'))
    with pytest.raises(Damaged, match="has changed"):
        read(issue)


def test_a_seal_that_fits_nothing_is_noticed(issue):
    issue.seal = "0" * 64
    with pytest.raises(Damaged, match="seal"):
        read(issue)


@pytest.mark.parametrize(("drawings", "words"), [(zlib.compress(b"{}"), "has changed"), (b"{}", "unpacked")])
def test_other_drawings_are_noticed(issue, drawings, words):
    issue.drawings = drawings
    with pytest.raises(Damaged, match=words):
        drawings_of(issue, read(issue))


@pytest.mark.parametrize(("name", "door"), [("making", making_of), ("costs", costs_of)])
@pytest.mark.parametrize(
    ("document", "words"), [(zlib.compress(b"{}"), "has changed"), (b"{}", "unpacked"), (None, "unpacked")]
)
def test_other_making_and_costs_are_noticed(issue, name, door, document, words):
    """The client's page shows what it showed: it needs neither."""
    setattr(issue, name, document)
    stored = read(issue)
    assert stored.sheet.options
    with pytest.raises(Damaged, match=words):
        door(issue, stored)


def test_another_pdf_is_noticed(issue):
    assert pdf_of(issue) == bytes(issue.pdf)
    issue.pdf = bytes(issue.pdf) + b"\n"
    with pytest.raises(Damaged, match="has changed"):
        pdf_of(issue)
