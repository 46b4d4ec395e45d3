"""What an example studio buys for lighting. All of it is invented, of a size that such a studio would
recognise; where nothing is said it is common practice, no source."""

from decimal import Decimal

from studio.light.catalogue import (
    Connector,
    Controller,
    CrossSection,
    Fuse,
    Lead,
    Lighting,
    LightStrip,
    Supply,
)

__all__ = ["example_lighting"]

VOLTS = 24
WATTS = ((30, "17.00"), (60, "24.00"), (96, "31.00"), (150, "45.00"), (240, "62.00"), (320, "78.00"))
LEADS: tuple[tuple[CrossSection, float, str], ...] = (
    ("0.5", 3, "0.55"),
    ("0.75", 6, "0.70"),
    ("1", 10, "0.90"),
    ("1.5", 16, "1.25"),
)
"""Cross-section, amperes that it may carry, price of a metre."""
FUSES = (1, 2, 3, 5, 7.5, 10)
DIMMERS = ((5, "18.00"), (10, "24.00"), (15, "31.00"))


def example_lighting() -> Lighting:
    """Two strips, and what feeds them."""
    return Lighting(
        strips=(_strip("warm", "Light strip, warm white", 9.6, 900, "9.00"),
                _strip("bright", "Light strip, warm white, bright", 14.4, 1400, "11.50")),
        supplies=tuple(
            Supply(
                code=f"supply-{watts}", text=f"Power supply, {watts} W", volts=VOLTS, watts=watts,
                efficiency_percent=88, price=Decimal(price),
            )
            for watts, price in WATTS
        ),
        leads=tuple(
            Lead(
                code=f"lead-{size.replace('.', '-')}", text=f"Lead, 2 × {size} mm²", cross_section_mm2=size,
                amps=amps, price=Decimal(price),
            )
            for size, amps, price in LEADS
        ),
        fuses=tuple(
            Fuse(code=f"fuse-{f'{amps:g}'.replace('.', '-')}", text=f"Fuse and holder, {amps:g} A", amps=amps,
                 price=Decimal("1.60"))
            for amps in FUSES
        ),
        controllers=tuple(
            Controller(code=f"dimmer-{amps}", text=f"Dimmer, {amps} A", volts=VOLTS, amps=amps,
                       price=Decimal(price))
            for amps, price in DIMMERS
        ),
        connectors=(
            Connector(code="strip-link", text="Strip connector", joins="strips", price=Decimal("0.60")),
            Connector(code="module-plug", text="Plug and socket", joins="modules", price=Decimal("1.90")),
        ),
        lead_days=4,
    )  # fmt: skip


def _strip(code: str, text: str, watts_per_m: float, lumens_per_m: float, price: str) -> LightStrip:
    return LightStrip(
        code=code,
        text=text,
        volts=VOLTS,
        watts_per_m=watts_per_m,
        cut_mm=50,
        ohms_per_m=0.05,
        lumens_per_m=lumens_per_m,
        colour_temperature_k=2700,
        colour_rendering=90,
        leds_per_m=120,
        mass_g_per_m=20,
        price=Decimal(price),
    )
