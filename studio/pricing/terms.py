"""The terms of a brief: who the client is for tax, what is given off, how the panel gets there."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from studio.document import document

__all__ = ["Delivery", "Discount", "Prices", "Survey", "Terms", "reads_gross_first"]

Delivery = Literal["collected", "sent by carrier", "delivered", "delivered and hung"]
"""By whom the panel is brought: the client, a carrier by the rate book's table, or our own van."""

Survey = Literal["trip", "by the client", "none"]
"""Who measures the space: we go there, the client does it, or nobody."""


Prices = Literal["usual", "with tax", "without tax"]
"""How prices are named to a client: as is usual for their kind, or as it says."""


def reads_gross_first(client_kind: str, prices: str) -> bool:
    """Of terms, and of frozen ones."""
    return prices == "with tax" or (prices == "usual" and client_kind == "consumer")


@document
class Discount:
    kind: Literal["amount", "percent"]
    value: Annotated[Decimal, Field(ge=0, le=10**9, decimal_places=4)]
    reason: Annotated[str, Field(min_length=1, max_length=200)]


@document
class Terms:
    """`currency` must be the rate book's. `tax` names a tax category of the rate book. `prices` decides
    whether gross or net is the price: shown first, rounded, and what a discount is given off; as is usual,
    that is the gross for a consumer and the net for a business. `distance_km` is one way, None while it is
    not given; who lives in the house is 0 away. What a light costs to run is said by `light_hours_a_day` and
    what the client pays for a kilowatt hour, None while nobody knows; neither moves the price."""

    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "GBP"
    client_kind: Literal["consumer", "business"] = "consumer"
    prices: Prices = "usual"
    tax: Annotated[str, Field(min_length=1, max_length=40)] = "standard"
    discount: Discount | None = None
    survey: Survey = "trip"
    delivery: Delivery = "delivered and hung"
    distance_km: Annotated[Decimal, Field(ge=0, le=20_000)] | None = None
    referral: bool = False
    light_hours_a_day: Annotated[Decimal, Field(ge=0, le=24, decimal_places=2)] = Decimal(4)
    light_price_per_kwh: Annotated[Decimal, Field(ge=0, le=10**6, decimal_places=4)] | None = None

    @property
    def gross_first(self) -> bool:
        """Whether the gross is the price."""
        return reads_gross_first(self.client_kind, self.prices)

    @property
    def by_van(self) -> bool:
        """Whether we bring it ourselves."""
        return self.delivery in ("delivered", "delivered and hung")

    @property
    def travels(self) -> bool:
        """Whether we go there at all, so that the distance counts."""
        return self.by_van or self.survey == "trip"
