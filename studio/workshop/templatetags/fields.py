"""Fields of a Form in templates: label, what is typed, and the problem beside it."""

from collections.abc import Iterable, Mapping
from typing import Any

from django import template
from django.template.loader import get_template
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

from studio.forms import Chosen, Form, Linked, sentence
from studio.problem import Problem

register = template.Library()
Page = Mapping[str, Any]
"""A template's context, with the `voice` in which problems are told."""


def ident(name: str) -> str:
    return "f-" + "".join(letter if letter.isalnum() else "-" for letter in name)


register.filter("ident", ident)


@register.simple_tag(takes_context=True)
def told(context: Page, problem: Problem | None) -> str:
    """With a way to the page where it is mended, when there is one; with both values to choose from, when
    somebody else changed the field meanwhile; empty without a problem."""
    if problem is None:
        return ""
    if isinstance(problem, Chosen):
        return _drawn("chosen", {"problem": problem, "voice": context["voice"]})
    said = sentence(problem, context["voice"])
    if not isinstance(problem, Linked):
        return said
    return format_html('{} <a href="{}">{}</a>', said, problem.address, problem.text)


@register.filter
def add_path(prefix: str, part: object) -> str:
    return f"{prefix}.{part}"


@register.filter
def add_day(prefix: str, number: int) -> str:
    return f"{prefix}{number}"


@register.filter
def lines(form: Form, kind: str) -> list[str]:
    """The lines of a list on the page, by the start of their fields' names."""
    numbers = (
        name.removeprefix(f"{kind}.").partition(".")[0] for name in form.values if name.startswith(f"{kind}.")
    )
    return [f"{kind}.{number}" for number in dict.fromkeys(numbers) if number.isdecimal()]


@register.filter
def typed(form: Form, name: str) -> str:
    return form[name]


def _context(page: Page, form: Form, name: str, label: str, **more: Any) -> dict[str, Any]:
    if more.get("word"):
        more.setdefault("size", max(3, len(form[name])))
    return {
        "name": name,
        "ident": ident(name),
        "label": label,
        "value": form[name],
        "told": told(page, form.problem(name)),
        **more,
    }


def _drawn(template_name: str, context: dict[str, Any]) -> SafeString:
    """Without white space around it, so that a comma can follow a word."""
    text = get_template(f"fields/{template_name}.html").render(context).strip()
    return mark_safe(text)  # noqa: S308 - a template made it


@register.simple_tag(takes_context=True)
def field(context: Page, form: Form, name: str, label: str, **more: Any) -> SafeString:
    """A line of text: `kind` (text, email, date …), `hint`, `unit`, `mode` (inputmode); `cell` in a table,
    `word` within a sentence, `after` for the stop or comma that stays on its line."""
    return _drawn("input", _context(context, form, name, label, **more))


@register.simple_tag(takes_context=True)
def area(context: Page, form: Form, name: str, label: str, **more: Any) -> SafeString:
    return _drawn("area", _context(context, form, name, label, **more))


@register.simple_tag(takes_context=True)
def choice(
    context: Page, form: Form, name: str, label: str, options: Iterable[tuple[str, str]], **more: Any
) -> SafeString:
    """A select; `options` are (value, text). A value that is not among them is kept as one more."""
    listed, value = [(str(option), text) for option, text in options], form[name]
    if value and value not in [option for option, _text in listed]:
        listed.append((value, f"{value} (not available)"))
    return _drawn("choice", _context(context, form, name, label, options=listed, **more))


@register.simple_tag(takes_context=True)
def tick(context: Page, form: Form, name: str, label: str, **more: Any) -> SafeString:
    return _drawn("tick", _context(context, form, name, label, ticked=form[name] == "on", **more))


@register.inclusion_tag("fields/summary.html", takes_context=True)
def problem_summary(context: Page, form: Form) -> dict[str, Any]:
    """Everything that is wrong, at the top, with a way to each field; it takes the focus."""
    found = [(ident(p.field), _listed(context, p, form), p.field in form.values) for p in form.problems]
    chosen = any(isinstance(problem, Chosen) for problem in form.problems)
    return {"found": found, "chosen": chosen, "told": form.told}


@register.inclusion_tag("fields/made_from.html")
def made_from(form: Form, oob: bool = False) -> dict[str, Any]:
    """What the form is merged by when it is saved: what it was made from, what was asked, the lines' keys."""
    keys = [name for name in form.values if name.endswith(".key")]
    return {"kept": [(name, form[name]) for name in ("made_from", "seen", *keys)], "oob": oob}


@register.simple_tag(takes_context=True)
def problem_at(context: Page, form: Form, name: str) -> str:
    """What is wrong with a field, or nothing, beside it."""
    return format_html(
        '<span class="problem" id="{}-p">{}</span>', ident(name), told(context, form.problem(name))
    )


@register.simple_tag(takes_context=True)
def plainly(context: Page, problem: Problem) -> str:
    """Without buttons and links."""
    return sentence(problem, context["voice"])


def _listed(page: Page, problem: Problem, form: Form) -> str:
    """Plainly where the field on the page has the buttons and links."""
    return plainly(page, problem) if problem.field in form.values else told(page, problem)


@register.simple_tag(takes_context=True)
def slots(context: Page, form: Form, *prefixes: str) -> str:
    """The problem of every field under the prefixes, or none, to be put beside the fields that are there."""
    return format_html_join(
        "",
        '<span class="problem" id="{}-p" hx-swap-oob="true">{}</span>',
        (
            (ident(name), told(context, form.problem(name)))
            for name in form.values
            if name.startswith(prefixes)
        ),
    )


@register.simple_tag
def wrong_under(form: Form, *prefixes: str) -> bool:
    """Whether a problem lies under one of the prefixes: then its fields are not folded away."""
    return any(problem.field.startswith(prefixes) for problem in form.problems)
