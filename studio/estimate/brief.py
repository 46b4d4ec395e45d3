"""The brief: design, space and terms of one option."""

from datetime import date
from typing import Annotated

from pydantic import Field

from studio.document import document
from studio.lattice.design import Design, Space
from studio.making.shop import ShopState
from studio.pricing.rate_book import RateBook
from studio.pricing.terms import Terms

__all__ = ["Brief", "Question"]


@document
class Brief:
    title: Annotated[str, Field(max_length=2000)] = ""
    design: Design
    space: Space
    terms: Terms = Terms()


@document
class Question:
    """A complete input of the command line: what `estimate --example` prints."""

    brief: Brief
    rate_book: RateBook
    shop_state: ShopState
    as_of: date
