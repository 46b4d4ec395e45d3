"""Whether a light may warm a panel too much: by rule, to be warned of; nothing is declared safe."""

from collections.abc import Iterable, Iterator

from studio.light.catalogue import Lighting, LightRules
from studio.problem import Problem
from studio.voice import number, said

__all__ = ["face_deg_c", "heat_problems"]


def face_deg_c(watts_per_m2: float, rules: LightRules) -> float:
    """How warm the panel's face gets where all that the light takes leaves through it, with its surface
    resistance alone in the way: ISO 6946's sum, for a panel that is as warm in front as behind."""
    return rules.room_deg_c + watts_per_m2 * rules.surface_m2_k_per_w


def heat_problems(
    watts: float, area_m2: float, materials: Iterable[str], lighting: Lighting
) -> Iterator[Problem]:
    """Warnings for a light of so many watts behind a panel of these materials."""
    per_m2, rules = watts / area_m2, lighting.rules
    told = said("the light takes {} W on each square metre of the panel", number(per_m2, 0))
    if per_m2 > rules.most_w_per_m2:
        reason = said("{}, more than {} W", told, number(rules.most_w_per_m2, 0))
        yield Problem(
            "brief.design.light_strip", reason, "a strip of less power, rows further apart, or a vent"
        )
    warm = face_deg_c(per_m2, rules)
    for material in sorted(set(materials)):
        softens = next((each.deg_c for each in lighting.softens if each.material == material), None)
        if softens is None:
            reason = said("nobody says at what warmth {} softens, and there is a light behind it", material)
            yield Problem("rate_book.lighting.softens", reason, "give it by its data sheet")
        elif warm > softens - rules.softening_margin_k:
            reason = said(
                "{}: about {} °C at its face, and {} softens at {} °C",
                told, number(warm, 0), material, number(softens, 0),
            )  # fmt: skip
            yield Problem(
                "brief.design.light_strip", reason, "less power, or air that passes behind the panel"
            )
