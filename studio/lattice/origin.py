"""Where a size comes from, and how far it may be out for that."""

from decimal import Decimal
from typing import Annotated, Literal, get_args

from pydantic import Field

from studio.document import document

__all__ = ["ORIGINS", "TAPED", "Origin", "Uncertainty"]

Origin = Literal["said", "paced", "photograph", "taped by the client", "taped by us"]
ORIGINS: tuple[Origin, ...] = get_args(Origin)
TAPED: tuple[Origin, ...] = ("taped by the client", "taped by us")
Share = Annotated[Decimal, Field(ge=0, le=50)]
Tape = Annotated[Decimal, Field(ge=0, le=500, decimal_places=2)]


@document
class Uncertainty:
    """How far a size may be from the truth, either way, by where it comes from: own judgement, for a studio
    to set by what it finds when it tapes. A photograph brings its own (`Space.photograph_mm`)."""

    said_percent: Share = Decimal(10)
    paced_percent: Share = Decimal(5)
    taped_by_client_mm: Tape = Decimal(10)
    taped_by_us_mm: Tape = Decimal(3)
