"""`manage.py add_pattern FILE`: a pattern for the studio's new designs, or its next revision."""

from studio.workshop.management.pattern_command import PatternCommand, verdict_on
from studio.workshop.own_patterns import add, pattern_in


class Command(PatternCommand):
    help = "Check the pattern in a file and store it as one of the studio's own."

    def answer(self, text: str) -> str:
        row = add(text, None)
        return f"{verdict_on(pattern_in(row))}\nStored as revision {row.revision}."
