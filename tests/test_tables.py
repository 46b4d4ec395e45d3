"""Tables by a closed set of choices have a row for each; where one is matched, the type checker asks."""

from collections.abc import Collection
from typing import get_args, get_type_hints

import pytest

from studio.clients.space_form import MOUNTINGS, ORIGINS
from studio.commissions import difference, words
from studio.commissions.budget.page import MOVES
from studio.commissions.call.terms_form import DELIVERIES, SURVEYS
from studio.commissions.making.shown import LIMITS
from studio.commissions.money.page import CAUSES
from studio.estimate.compare import SURVEY
from studio.estimate.moves import WEIGHTS, Way
from studio.lattice.arrange import IMAGES
from studio.lattice.design import Arrangement, Backing, Space
from studio.lattice.drawn_symmetry import DrawnSymmetry
from studio.lattice.fit import Symmetry
from studio.lattice.holding import HOLDINGS
from studio.lattice.pattern import Pattern
from studio.letters.settling import DECISIONS, Decision
from studio.letters.states import MAY_FOLLOW, State
from studio.making.bounds import Limit
from studio.pricing.client import TEXTS
from studio.pricing.ranges import Cause
from studio.pricing.rate_book import Heading
from studio.pricing.terms import Terms
from studio.proposals import included


def choices(document: type, field: str) -> set[str]:
    return set(get_args(get_type_hints(document)[field]))


ARRANGEMENTS = {kind.kind for kind in get_args(get_args(Arrangement)[0])}


@pytest.mark.parametrize(
    ("table", "members"),
    [
        (words.ARRANGEMENTS, ARRANGEMENTS),
        (difference.KINDS, ARRANGEMENTS),
        (words.SYMMETRIES, get_args(DrawnSymmetry)),
        (IMAGES, get_args(Symmetry)),
        (words.BACKING, get_args(Backing)),
        (included.BACKING, set(get_args(Backing)) - {"none"}),
        (included.DELIVERY, choices(Terms, "delivery")),
        ([value for value, _ in DELIVERIES], choices(Terms, "delivery")),
        ([value for value, _ in SURVEYS], choices(Terms, "survey")),
        (SURVEY, choices(Terms, "survey")),
        ([value for value, _ in MOUNTINGS], choices(Space, "mounting")),
        ([value for value, _ in ORIGINS], choices(Space, "width_origin")),
        (HOLDINGS, choices(Pattern, "holding")),
        (MOVES, get_args(Way)),
        (WEIGHTS, get_args(Way)),
        (LIMITS, get_args(Limit)),
        (CAUSES, get_args(Cause)),
        (TEXTS, get_args(Heading)),
        (MAY_FOLLOW, State),
        (DECISIONS, get_args(Decision)),
    ],
)
def test_a_row_for_each(table: Collection[str], members: Collection[str]) -> None:
    assert set(table) == set(members)
