"""An option in plain words: what the studio reads aloud and what the client reads back."""

from collections.abc import Sequence
from typing import assert_never

from studio.commissions.date_words import listed
from studio.estimate.brief import Brief
from studio.forms import plain
from studio.lattice.cells import has_cell
from studio.lattice.design import (
    AllOver,
    Alternating,
    Band,
    Bands,
    BorderAndField,
    Design,
    Drift,
    Infill,
    Rings,
    Rosettes,
    Space,
)
from studio.lattice.fit import Fit
from studio.lattice.origin import TAPED
from studio.lattice.patterns import OPEN, pattern_of
from studio.pricing.terms import Terms
from studio.voice import PLAIN, Voice

__all__ = [
    "ARRANGEMENTS", "SYMMETRIES",
    "arrangement_words", "colour_word", "infill_words", "pattern_word",
    "point_words", "spoken_paragraph", "within",
]  # fmt: skip

ARRANGEMENTS = {
    "all over": "all over",
    "border and field": "with a border",
    "bands": "in bands",
    "rings": "in rings",
    "drift": "drifting",
    "rosettes": "in rosettes",
    "alternating": "by turns",
}
"""Each kind of arrangement as it stands in the paragraph."""
SYMMETRIES = {
    "both": "symmetric both ways",
    "left-right": "symmetric left to right",
    "top-bottom": "symmetric top to bottom",
    "half-turn": "the same after half a turn, not mirrored",
    "none": "not symmetric",
}
BAND_CELLS = {"upright": "column", "level": "row"}
"""What bands count."""
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
BACKING = {"none": "", "sheet": "on a backing sheet", "diffuser": "on a diffuser"}


def spoken_paragraph(brief: Brief, fit: Fit, voice: Voice = PLAIN) -> str:
    """The option as one paragraph, without its letter: size, arrangement, how it is made and delivered."""
    design = brief.design
    sentences = (
        _lattice(design, brief.space, fit, voice),
        f"the panel itself is {voice.length(fit.width_mm)} × {voice.length(fit.height_mm)}",
        arrangement_words(design, fit),
        _making(design, brief.terms, voice),
    )
    return " ".join(f"{text[0].upper()}{text[1:]}." for text in sentences)


def infill_words(infill: Infill, design: Design) -> str:
    """Such as "hemp leaf in tea"; "open cells" where nothing is put in."""
    if infill.pattern == OPEN:
        return "open cells"
    return f"{pattern_word(infill, design)} in {colour_word(infill.filament)}"


def pattern_word(infill: Infill, design: Design) -> str:
    return within(pattern_of(design, infill).name)


def within(pattern_name: str) -> str:
    """A pattern within a sentence: "Hemp leaf" becomes "hemp leaf"; a name with more capitals keeps them."""
    return pattern_name.lower() if pattern_name[1:].islower() else pattern_name


def colour_word(filament: str) -> str:
    """A filament within a sentence: "Tea" becomes "tea"; a name with capitals of its own keeps them."""
    return filament.lower() if filament.istitle() else filament


def arrangement_words(design: Design, fit: Fit) -> str:
    return _arrangement(design) + _by_hand(design, fit)


def _arrangement(design: Design) -> str:
    def say(infill: Infill) -> str:
        return infill_words(infill, design)

    match design.arrangement:
        case AllOver(infill=infill):
            return f"{say(infill)} all over"
        case Bands(direction=direction, bands=bands):
            return f"{direction} bands in turn, {_counted(bands, BAND_CELLS[direction], design)}"
        case BorderAndField(border=border, border_cells=cells, field=field):
            return f"{say(field)} all over, with a {_number(cells)}-cell border of {say(border)}"
        case Rings() as rings:
            return f"in rings round {point_words(rings)}, {_counted(rings.rings, 'cell', design)}"
        case Drift(first=first, second=second, direction=direction):
            return f"{say(first)} drifting {direction} into {say(second)}"
        case Rosettes(rosette=rosette, field=field, apart=apart):
            return f"rosettes of {say(rosette)} every {_number(apart)} cells, {say(field)} around them"
        case Alternating(first=first, second=second):
            return f"{say(first)} and {say(second)} by turns"
        case _:
            assert_never(design.arrangement)


def _counted(bands: Sequence[Band], noun: str, design: Design) -> str:
    """What the first of them counts is said; the others count the same."""
    first, *others = bands
    cells = f"{_number(first.cells)} {noun}{'' if first.cells == 1 else 's'}"
    rest = [f"{_number(each.cells)} of {infill_words(each.infill, design)}" for each in others]
    return listed([f"{cells} of {infill_words(first.infill, design)}", *rest])


def point_words(rings: Rings) -> str:
    """What rings lie round: "the middle", "a point 30 % across and 60 % up"."""
    across, up = (plain(percent) for percent in (rings.across_percent, rings.up_percent))
    return "the middle" if across == up == "50" else f"a point {across} % across and {up} % up"


def _by_hand(design: Design, fit: Fit) -> str:
    """The cells that are changed one by one, those aside that the panel does not have."""
    cells = {
        (touch.column, touch.row) for touch in design.touch_ups if has_cell(fit, touch.column, touch.row)
    }
    if not cells:
        return ""
    again = " and again after half a turn" if fit.symmetry == "half-turn" else " and mirrored"
    counted = f"{_number(len(cells))} {'cell' if len(cells) == 1 else 'cells'}"
    return f", with {counted} changed by hand{again if design.mirror_touch_ups else ''}"


def _lattice(design: Design, space: Space, fit: Fit, voice: Voice) -> str:
    size = "" if design.columns or design.rows else ", as large as fits"
    cells = _cells(design, voice.length(fit.cell_side_mm))
    return f"{cells} for an opening {_opening(space, voice)}{size}"


def _opening(space: Space, voice: Voice) -> str:
    """One "about" goes for what follows it, so a side that is well known comes first. Nobody says the
    smallest of several sizes."""
    sides = ((space.width_origin, space.widths_mm, "wide"), (space.height_origin, space.heights_mm, "high"))
    several = any(len(lengths) > 1 for _origin, lengths, _way in sides)
    told = [
        (origin not in TAPED and not several, f"{voice.length(min(lengths))} {way}")
        for origin, lengths, way in sides
    ]
    known = [text for about, text in told if not about]
    guessed = [text for about, text in told if about]
    return " and ".join([*known, *([f"about {guessed[0]}", *guessed[1:]] if guessed else [])])


def _cells(design: Design, side: str) -> str:
    kind, head, asides = design.kind, f"{side} cells", [design.kind.remark]
    if kind.angled:
        head, asides = f"{plain(design.angle_deg)}° cells", [f"{side} a side", kind.remark]
    told = "".join(f", {aside}" for aside in asides if aside)
    return f"a {kind.spoken} lattice of {head}{told}{told and ','}"


def _making(design: Design, terms: Terms, voice: Voice) -> str:
    lit = "lit from behind" if design.lit else ""
    parts = (f"{voice.length(design.depth_mm)} deep", BACKING[design.backing], lit, terms.delivery)
    return ", ".join(filter(None, parts))


def _number(count: int) -> str:
    return NUMBERS[count] if count < len(NUMBERS) else str(count)
