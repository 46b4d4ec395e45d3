"""What the commands on pattern files share: the file, and plain words where it is refused."""

import sys
from abc import abstractmethod
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from studio.lattice.pattern import Pattern
from studio.problem import Refused
from studio.workshop.pattern_facts import judged
from studio.workshop.pattern_file import named_text

__all__ = ["PatternCommand", "verdict_on"]


class PatternCommand(BaseCommand):
    """Exit status 2 when the file is refused."""

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", help="a pattern as JSON; DEVELOPERS.md has an example")

    @abstractmethod
    def answer(self, text: str) -> str:
        """What to print for the file's text. Raises Refused."""

    def handle(self, *args: Any, file: str, **options: Any) -> None:
        try:
            self.stdout.write(self.answer(named_text(file)))
        except Refused as refused:
            self.stderr.write(str(refused))
            sys.exit(2)


def verdict_on(pattern: Pattern) -> str:
    title = f"{pattern.name} ({pattern.slug}), for a {pattern.lattice} lattice:"
    return "\n".join((title, *(f"- {reason}" for reason in judged(pattern).reasons)))
