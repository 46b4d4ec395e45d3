"""The one form of bad news, for forms and command line alike."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TypeVar

__all__ = ["Conflict", "Overtaken", "Problem", "Refused", "both", "refuse_all"]

A = TypeVar("A")
B = TypeVar("B")


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with one field: `field` is its dotted key, `reason` what was found and why it will not
    do, `remedy` what would be right. All three are plain words for a person."""

    field: str
    reason: str
    remedy: str

    def __str__(self) -> str:
        return f"{self.field}: {self.reason}; {self.remedy}"


@dataclass(frozen=True, slots=True)
class Overtaken(Problem):
    """Somebody else changed what was decided or pressed for: what stands now is to be looked at first."""


class Refused(ValueError):
    """Raised where input cannot be worked with; carries every problem found, at least one."""

    def __init__(self, *problems: Problem) -> None:
        if not problems:
            raise TypeError("Refused needs at least one Problem")
        self.problems = problems
        super().__init__("\n".join(map(str, problems)))

    @classmethod
    def because(cls, field: str, reason: str, remedy: str) -> "Refused":
        return cls(Problem(field, reason, remedy))

    def under(self, prefix: str) -> "Refused":
        """The same problems with their fields placed under `prefix`."""
        return Refused(*(replace(p, field=f"{prefix}.{p.field}".rstrip(".")) for p in self.problems))


class Conflict(Refused):
    """What was answered or pressed for is no longer what stands: a page must be read again (409)."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__(*(Overtaken(each.field, each.reason, each.remedy) for each in problems))


def refuse_all(problems: Iterable[Problem]) -> None:
    """Raise Refused when there is any problem."""
    found = tuple(problems)
    if found:
        raise Refused(*found)


def both(first: Callable[[], A], second: Callable[[], B]) -> tuple[A, B]:
    """What two readings give, each done whatever becomes of the other. Raises Refused with the problems of
    both."""
    try:
        read = first()
    except Refused as refused:
        problems = refused.problems
        try:
            second()
        except Refused as other:
            problems += other.problems
        raise Refused(*problems) from None
    return read, second()
