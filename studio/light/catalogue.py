"""What the studio buys for lighting, and the figures by which it is chosen: a part of the rate book.

Volts are those of direct current between the two conductors. Prices are of the rate book's currency; those of
strips and leads are by the metre.
"""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from studio.document import document

__all__ = [
    "CLASS_5_OHMS_PER_KM", "KINDS", "Connector", "Controller", "Fuse", "Lead", "LightRules", "LightStrip",
    "Lighting", "Softens", "Supply",
]  # fmt: skip

Name = Annotated[str, Field(min_length=1, max_length=80)]
Code = Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{0,39}$")]
Money = Annotated[Decimal, Field(ge=0, le=10**9, decimal_places=4)]
Volts = Annotated[float, Field(gt=0, le=120)]
"""Safety extra-low voltage ends at 120 V of ripple-free direct current (IEC 61558-1)."""
Amps = Annotated[float, Field(gt=0, le=1000)]
Percent = Annotated[float, Field(gt=0, le=100)]

KINDS = ("strips", "supplies", "leads", "fuses", "controllers", "connectors")
"""The lists of what is bought."""
CrossSection = Literal["0.5", "0.75", "1", "1.5"]

CLASS_5_OHMS_PER_KM: dict[CrossSection, float] = {"0.5": 39.0, "0.75": 26.0, "1": 19.5, "1.5": 13.3}
"""By cross-section in mm²: the most that a flexible plain copper conductor has at 20 °C (IEC 60228:2004,
table of classes 5 and 6, as two reprints have it)."""


@document
class LightStrip:
    """A strip by the metre, cut in whole steps of `cut_mm`. `ohms_per_m` is that of its own copper, there and
    back, at 20 °C; `longest_run_mm` is what its maker allows from one feed. One of the two is needed; where
    only the latter is known, it stands for the drop along the strip."""

    code: Code
    text: Name
    volts: Volts
    watts_per_m: Annotated[float, Field(gt=0, le=200)]
    cut_mm: Annotated[float, Field(ge=1, le=1000)]
    width_mm: Annotated[float, Field(ge=1, le=100)] = 10
    thick_mm: Annotated[float, Field(ge=0, le=100)] = 3
    ohms_per_m: Annotated[float, Field(gt=0, le=10)] | None = None
    longest_run_mm: Annotated[float, Field(gt=0, le=10**5)] | None = None
    lumens_per_m: Annotated[float, Field(ge=0, le=10**5)] | None = None
    colour_temperature_k: Annotated[int, Field(ge=1000, le=20_000)] | None = None
    colour_rendering: Annotated[int, Field(ge=0, le=100)] | None = None
    leds_per_m: Annotated[int, Field(ge=1, le=2000)] | None = None
    mass_g_per_m: Annotated[float, Field(ge=0, le=10**4)] = 0
    price: Money

    @property
    def watts_per_step(self) -> float:
        return self.watts_per_m * self.cut_mm / 1000


@document
class Supply:
    """A constant-voltage supply with one output. `efficiency_percent` is None where nobody says."""

    code: Code
    text: Name
    volts: Volts
    watts: Annotated[float, Field(gt=0, le=10**4)]
    efficiency_percent: Percent | None = None
    price: Money


@document
class Lead:
    """Two-core flexible lead. `amps` is what it may carry where it lies, by its maker or the local wiring
    rules: its fuse is no larger."""

    code: Code
    text: Name
    cross_section_mm2: CrossSection
    amps: Amps
    price: Money


@document
class Fuse:
    code: Code
    text: Name
    amps: Amps
    price: Money


@document
class Controller:
    """A dimmer between a supply and its feeds, for up to `amps` of all its channels together."""

    code: Code
    text: Name
    volts: Volts
    amps: Amps
    price: Money


@document
class Connector:
    """`joins`: the next strip of a run to the one before, or a feed's lead to its module."""

    code: Code
    text: Name
    joins: Literal["strips", "modules"]
    price: Money


@document
class LightRules:
    """Figures by which light is laid out and chosen.

    - `drop_percent`: the most of the nominal volts that may be lost between the supply and the far end of a
      run. Common practice, no source.
    - `load_percent`: how far supplies and fuses are loaded, the inverse of the 125 % for continuous load in
      NEC 210.19(A)(1) and 210.20(A); for plug-in supplies common practice, no source.
    - `limited`: whether a supply may have no more than `limited_va` (at 20 V and more), or 5 A below that:
      Class 2 of NEC article 725 and UL 1310, from secondary pages and from memory.
    - `pitch_factor`: rows lie no further apart than this times their distance from the diffuser. Common
      practice, no source.
    - `diffuser_mm`: that distance where a design does not say; `least_diffuser_mm` is what no design may go
      below. Common practice, no source.
    - `margin_mm`: from the edging's inner side, or from where modules meet, to a strip.
    - `lead_mm`: from a supply to the panel's corner. The studio's own figure.
    - `conductor_deg_c`: how warm copper is taken to be.
    - `most_w_per_m2`: above it, power by the panel's area is warned of. From memory, no source.
    - `room_deg_c`, `surface_m2_k_per_w`: the face of the panel is taken to be warmer than the room by the
      power on a square metre times this resistance (ISO 6946, horizontal flow of heat, from memory).
    - `softening_margin_k`: how far below its softening a material is to stay. The studio's own figure."""

    drop_percent: Annotated[float, Field(gt=0, le=20)] = 5
    load_percent: Percent = 80
    limited: bool = False
    limited_va: Annotated[float, Field(gt=0, le=10**4)] = 100
    pitch_factor: Annotated[float, Field(gt=0, le=5)] = 1
    diffuser_mm: Annotated[float, Field(gt=0, le=1000)] = 80
    least_diffuser_mm: Annotated[float, Field(gt=0, le=1000)] = 20
    margin_mm: Annotated[float, Field(ge=0, le=500)] = 10
    lead_mm: Annotated[float, Field(ge=0, le=50_000)] = 1500
    conductor_deg_c: Annotated[float, Field(ge=-20, le=120)] = 50
    most_w_per_m2: Annotated[float, Field(gt=0, le=10**5)] = 200
    room_deg_c: Annotated[float, Field(ge=-20, le=60)] = 25
    surface_m2_k_per_w: Annotated[float, Field(gt=0, le=1)] = 0.13
    softening_margin_k: Annotated[float, Field(ge=0, le=100)] = 10

    def most_va(self, volts: float) -> float:
        """The most that a limited supply has at these volts."""
        return self.limited_va if volts >= 20 else min(self.limited_va, 5 * volts)


@document
class Softens:
    """From when a filament's material gives way."""

    material: Name
    deg_c: Annotated[float, Field(ge=20, le=500)]


SOFTENS = (
    Softens(material="PLA", deg_c=55),
    Softens(material="PETG", deg_c=69),
    Softens(material="ASA", deg_c=78),
)
"""Makers' data sheets: PLA's glass transition from 55 °C, the heat deflection of PETG and ASA under load."""


@document
class Lighting:
    """The whole catalogue. Empty, light is priced by the metre and the lit panel alone, and nothing is
    sized. What is bought comes `lead_days` after a job's start."""

    strips: Annotated[tuple[LightStrip, ...], Field(max_length=50)] = ()
    supplies: Annotated[tuple[Supply, ...], Field(max_length=50)] = ()
    leads: Annotated[tuple[Lead, ...], Field(max_length=20)] = ()
    fuses: Annotated[tuple[Fuse, ...], Field(max_length=30)] = ()
    controllers: Annotated[tuple[Controller, ...], Field(max_length=30)] = ()
    connectors: Annotated[tuple[Connector, ...], Field(max_length=20)] = ()
    softens: Annotated[tuple[Softens, ...], Field(max_length=30)] = SOFTENS
    lead_days: Annotated[int, Field(ge=0, le=365)] = 0
    rules: LightRules = LightRules()
