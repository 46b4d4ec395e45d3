"""A complete example question. Client, place and rates are invented."""

from datetime import date
from decimal import Decimal

from studio.estimate.brief import Brief, Question
from studio.lattice.design import BorderAndField, Design, Infill, Space
from studio.making.shop import ShopState, Stock
from studio.pricing.example_rates import example_rate_book
from studio.pricing.terms import Terms

__all__ = ["example_question"]


def example_question() -> Question:
    """A wall panel for the ticket hall of an invented narrow-gauge railway: opening 1.20 m by 0.75 m,
    three-way lattice."""
    return Question(
        brief=Brief(
            title="Ticket hall of the invented Marram Light Railway",
            design=_design(),
            space=Space(
                widths_mm=(Decimal(1200), Decimal(1197), Decimal(1194)),
                heights_mm=(Decimal(752), Decimal(750)),
                width_origin="taped by us",
                height_origin="taped by us",
                indoors=True,
                public_room=True,
                near_heat=False,
                above_people=False,
                floor_to_bottom_mm=Decimal(1050),
            ),
            terms=Terms(client_kind="business", distance_km=Decimal(18)),
        ),
        rate_book=example_rate_book(),
        shop_state=ShopState(
            stock=(
                Stock(filament="Tea", shelf_g=600),
                Stock(filament="Walnut", shelf_g=2400, promised_g=500),
            ),
        ),
        as_of=date(2026, 3, 2),
    )


def _design() -> Design:
    return Design(
        lattice="three-way",
        cell_side_mm=Decimal(44),
        lattice_filament="Walnut",
        edging_filament="Walnut",
        arrangement=BorderAndField(
            border=Infill(pattern="basket-weave", filament="Indigo"),
            border_cells=2,
            field=Infill(pattern="hemp-leaf", filament="Tea"),
        ),
        backing="sheet",
    )
