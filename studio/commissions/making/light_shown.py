"""How an option's light is wired and fed, as texts and a picture."""

from collections.abc import Iterator

from django.utils.safestring import SafeString, mark_safe

from studio.drawing.wiring import wiring_svg
from studio.estimate.lighting import running
from studio.estimate.result import Estimate
from studio.light.feeds import Feed
from studio.light.plan import LightPlan
from studio.voice import Voice

__all__ = ["LightShown"]


class LightShown:
    """Texts are in the studio's own manner."""

    def __init__(self, light: LightPlan, found: Estimate, voice: Voice) -> None:
        self.light, self.found, self.voice = light, found, voice

    def facts(self) -> Iterator[tuple[str, str]]:
        light, voice = self.light, self.voice
        strip, number = light.strip, voice.quantity
        yield "Strip", f"{voice.length(light.length_mm, 0)} of {strip.text}, {number(strip.volts)} V"
        laid: str = light.layout
        if light.pitch_mm is not None:
            laid = f"{laid}, at most {voice.length(light.pitch_mm, 0)} apart"
        yield "Laid", f"{laid}; {voice.length(light.depth_mm, 0)} deep behind the diffuser"
        draws = "" if light.mains_w is None else f", {number(light.mains_w, 0)} W from the mains"
        yield "Power", f"{number(light.watts, 0)} W{draws}"
        if light.lumens is not None:
            yield "Brightness", f"{number(light.lumens, 0)} lm, before what it shines through"
        runs = running(light, self.found.brief.terms)
        without = ", without the supplies’ own losses" if light.mains_w is None else ""
        cost = "" if runs.cost is None else f", {voice.money(runs.cost)}"
        yield "In a year", f"{number(runs.kwh, 0)} kWh at {number(runs.hours_a_day)} h a day{cost}{without}"
        for connector, times in light.connectors:
            yield "Connectors", f"{number(times)} × {connector.text}"

    def feeds(self) -> Iterator[tuple[int, Feed, int]]:
        """Each with its number and that of its supply."""
        supplies = {feed: number for number, each in enumerate(self.light.circuits, 1) for feed in each.feeds}
        for index, feed in enumerate(self.light.feeds):
            yield index + 1, feed, supplies[index]

    def supplies(self) -> Iterator[tuple[int, str, str, float, str]]:
        """Number, supply, controller, load in watts, and the numbers of its feeds."""
        for number, each in enumerate(self.light.circuits, 1):
            feeds = ", ".join(f"F{feed + 1}" for feed in each.feeds)
            yield (
                number,
                each.supply.text,
                each.controller.text if each.controller else "",
                each.load_w,
                feeds,
            )

    def picture(self) -> SafeString:
        drawn = wiring_svg(
            self.found.composition, self.light, title="Wiring of the light", ident="wiring", voice=self.voice
        )
        return mark_safe(drawn)  # noqa: S308 -- our own SVG, texts escaped in it
