"""Rendering a proposal of three options, and one of 3,024 cells."""

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from studio.proposals.pdf import render_pdf
from tests.proposals.by_hand import composition, frozen, option


@pytest.mark.parametrize(("letters", "size"), [("ABC", (27, 34)), ("A", (54, 55))])
def test_pdf(benchmark: BenchmarkFixture, letters: str, size: tuple[int, int]) -> None:
    options = tuple(option(letter, composed=composition(*size)) for letter in letters)
    assert benchmark(render_pdf, frozen(*options), options).startswith(b"%PDF-")
