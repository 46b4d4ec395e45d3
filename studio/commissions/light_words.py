"""A light's plan in a sentence."""

from studio.light.plan import LightPlan
from studio.voice import Voice

__all__ = ["light_words"]


def light_words(light: LightPlan, voice: Voice) -> str:
    feeds, supplies = len(light.feeds), len(light.circuits)
    laid = f"{voice.length(light.length_mm, 0)} of {light.strip.text}"
    counted = f"{voice.count(feeds, 'feed')} from {voice.count(supplies, 'supply', 'supplies')}"
    watts = f"{voice.quantity(light.watts, 0)}\N{NO-BREAK SPACE}W"
    return f"{laid}, {counted}, {watts}, {voice.length(light.depth_mm, 0)} deep"
