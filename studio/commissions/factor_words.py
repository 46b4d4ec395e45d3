"""What the studio's own plates multiply the computed minutes and grams by, in words. Pure."""

from collections.abc import Sequence

from studio.making.equipment import STANDARD
from studio.making.measured import Factors, Measured
from studio.voice import Voice

__all__ = ["factor_words", "kind_words"]


def kind_words(printer: str, recipe: str) -> str:
    return f"{printer}, standard recipe" if recipe == STANDARD else f"{printer}, recipe for {recipe}"


def factor_words(factors: Factors, measured: Sequence[Measured], voice: Voice) -> tuple[str, ...]:
    """What minutes and grams of an option were multiplied by, for each printer and recipe that it uses:
    "minutes × 1.08, grams × 0.97 on Small bed, standard recipe (5 plates measured)"."""
    said = []
    for (printer, recipe), factor in sorted(factors.items()):
        plates = sum((m.printer, m.recipe, m.failed) == (printer, recipe, False) for m in measured)
        times = f"minutes × {voice.number(factor.minutes, 2)}, grams × {voice.number(factor.grams, 2)}"
        said.append(f"{times} on {kind_words(printer, recipe)} ({voice.count(plates, 'plate')} measured)")
    return tuple(said)
