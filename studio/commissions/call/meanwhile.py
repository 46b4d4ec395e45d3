"""What others changed of an option while its page was open."""

from collections.abc import Callable
from dataclasses import replace

from studio.clients.space_form import space_said
from studio.commissions.models import Option
from studio.commissions.words import ARRANGEMENTS, colour_word
from studio.form_tree import Known, part_of
from studio.forms import Form, Reshown, flat
from studio.meanwhile import CaughtUp, based, caught_up
from studio.people.models import User
from studio.people.touched import last_changer

__all__ = ["as_read", "caught_up_words"]

MERGED = ("design.", "space.", "terms.")
"""What is saved by the page's words; its other fields are buttons."""
ARRANGEMENT = "design.arrangement"
LOOKED_BACK = 20
"""So many changes are searched for who made one."""


def _said(name: str, text: str) -> str:
    match name.rpartition(".")[2]:
        case "pattern":
            return text.replace("-", " ")
        case "filament" | "lattice_filament" | "edging_filament":
            return colour_word(text)
        case "kind":
            return ARRANGEMENTS.get(text, "")
    return space_said(name, text)


KNOWN = Known(whole=frozenset({ARRANGEMENT}), said=_said)


def as_read(form: Form) -> Form:
    """A page's words with what they are made from."""
    return _unmarked(based(_marked(form), KNOWN))


def caught_up_words(posted: Form, now: Form, option: Option, by: User | None) -> CaughtUp:
    """The words as posted, merged with those that stand. Raises Reshown where both changed the same."""
    words = Form({name: text for name, text in now.values.items() if name.startswith(MERGED)})
    try:
        merged = caught_up(_marked(posted), _marked(words), KNOWN, _who(option, by))
    except Reshown as asked:
        raise Reshown(_unmarked(asked.form), *asked.problems) from None
    return replace(merged, form=_unmarked(merged.form), shown=_unmarked(merged.shown))


def _marked(form: Form) -> Form:
    """With the lattice among the parts of the arrangement: patterns of another lattice are none of this."""
    return replace(form, values={**form.values, f"{ARRANGEMENT}.in {form['design.lattice']}": "off"})


def _unmarked(form: Form) -> Form:
    kept = {name: text for name, text in form.values.items() if not name.startswith(f"{ARRANGEMENT}.in ")}
    return replace(form, values=kept)


def _who(option: Option, reader: User | None) -> Callable[[str], str]:
    around = {"space": option.commission.space, "terms": option.commission}

    def who(path: str) -> str:
        first = path.partition(".")[0]
        return around[first].toucher(reader)(path) if first in around else _designer(option, path, reader)

    return who


def _designer(option: Option, path: str, reader: User | None) -> str:
    """Who changed a part of the design last."""
    changes = option.changes.order_by("-sequence")[:LOOKED_BACK]
    key = path.removeprefix("design.")
    return last_changer(((each.by_id, part_of(flat(each.design), key)) for each in changes), reader)
