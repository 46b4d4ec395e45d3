"""Letters as pages say them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from studio.letters.models import Letter
from studio.letters.settling import Decision, open_decisions
from studio.letters.states import State

__all__ = ["ShownLetter", "shown"]


@dataclass(frozen=True, slots=True)
class ShownLetter:
    """A letter as it stands now, for `letters/standing.html`; `may` are the decisions that are open."""

    row: Letter
    standing: State
    late: bool
    may: frozenset[Decision]

    @property
    def needs_a_look(self) -> bool:
        return self.late or self.standing in (State.PERHAPS, State.FAILED)

    @property
    def seen(self) -> str:
        """What a decision about it is made on."""
        return self.row.changed_at.isoformat()


def shown(letters: Iterable[Letter], now: datetime) -> list[ShownLetter]:
    return [
        ShownLetter(letter, letter.standing(now), letter.is_late(now), open_decisions(letter, now))
        for letter in letters
    ]
