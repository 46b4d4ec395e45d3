"""`manage.py check_pattern FILE`: the verdict on a pattern. Needs no database."""

from studio.lattice.own_pattern import read_pattern
from studio.workshop.management.pattern_command import PatternCommand, verdict_on
from studio.workshop.pattern_facts import refuse_unprintable


class Command(PatternCommand):
    help = "Say whether the pattern in a file can be printed, and in which cells."
    requires_system_checks: list[str] = []  # noqa: RUF012 -- Django's own signature

    def answer(self, text: str) -> str:
        pattern = read_pattern(text)
        refuse_unprintable(pattern)
        return verdict_on(pattern)
