"""`manage.py estimate`: the command-line door to the pure line. Needs no database."""

import json
import sys
from argparse import ArgumentParser
from collections.abc import Iterable
from pathlib import Path
from typing import Any, TextIO

from django.core.management.base import BaseCommand

from studio.estimate.brief import Question
from studio.estimate.estimate import estimate
from studio.estimate.example import example_question
from studio.estimate.ranges import ranged
from studio.estimate.report import report
from studio.making.calendar import started_already, unknown_printers
from studio.problem import Problem, Refused, refuse_all
from studio.stored.questions import read_question, written_question
from studio.workshop.clock import today

LARGEST_FILE_BYTES = 2_000_000


class Command(BaseCommand):
    help = "Estimate a panel from a JSON file (brief, rate_book, shop_state, as_of); prints JSON."
    requires_system_checks: list[str] = []  # noqa: RUF012 -- Django's own signature

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", nargs="?", help="a JSON file, or - for standard input")
        parser.add_argument("--example", action="store_true", help="print a complete example input instead")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["example"]:
            self._print(written_question(example_question()))
            return
        try:
            question = read_question(read(options["file"]))
            self._print(answer(question))
        except Refused as refused:
            self._say("", refused.problems)
            sys.exit(2)
        self._say("warning: ", started_already(question.as_of, today()))

    def _say(self, kind: str, problems: Iterable[Problem]) -> None:
        if lines := [one_line(str(problem)) for problem in problems]:
            self.stderr.write(f"estimate: {kind}" + " | ".join(lines))

    def _print(self, document: object) -> None:
        self.stdout.write(json.dumps(document, indent=2, ensure_ascii=False))


def read(name: str | None, stdin: TextIO | None = None) -> str:
    """The text of the file, or of standard input for `-`. Raises Refused when there is none to read."""
    if name is None:
        raise Refused.because("file", "no file was named", "name a JSON file, or - for standard input")
    try:
        data = (stdin or sys.stdin).buffer.read() if name == "-" else Path(name).read_bytes()
    except OSError as error:
        raise Refused.because(
            "file", f"{name} cannot be read ({error.strerror})", "name a readable file"
        ) from None
    if len(data) > LARGEST_FILE_BYTES:
        raise Refused.because("file", f"it holds {len(data)} bytes", f"give at most {LARGEST_FILE_BYTES}")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refused.because("file", "it is not UTF-8 text", "save it as UTF-8") from None


def answer(question: Question) -> dict[str, Any]:
    """The estimate for a question, as plain values. Any day is answered, so that old questions stay true.
    Raises Refused, also for jobs promised on a printer that is not among the rates."""
    refuse_all(unknown_printers(question.shop_state, question.rate_book.printers))
    found = estimate(question.brief, question.rate_book, question.shop_state, question.as_of)
    return report(ranged(found, question.rate_book, question.shop_state))


def one_line(text: str) -> str:
    """Without line breaks and what else a terminal would act on."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
