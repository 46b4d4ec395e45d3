"""Filaments, recipes and printers as the studio's rate book lists them."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from studio.document import document

__all__ = ["OwnRecipe", "Filament", "Printer", "Recipe", "STANDARD"]

Name = Annotated[str, Field(min_length=1, max_length=80)]
Money = Annotated[Decimal, Field(ge=0, le=10**9, decimal_places=4)]
Positive = Annotated[float, Field(gt=0, le=100_000)]

STANDARD = "standard"
"""The key of a printer's recipe for everything that has none of its own."""


@document
class Filament:
    """One filament as bought. `colour` is sRGB #rrggbb of the real spool: data, never decoration.
    `price_per_spool` None means that no price is set yet: an option that uses it is refused. What has to be
    bought comes `lead_days` after a job's start. `shelf_g` and
    `promised_g` belong to ShopState."""

    name: Name
    colour: Annotated[str, Field(pattern=r"^#[0-9a-f]{6}$")]
    material: Annotated[str, Field(min_length=1, max_length=20)] = "PLA"
    density_g_per_cm3: Annotated[float, Field(ge=0.5, le=5)] = 1.24
    diameter_mm: Literal["1.75", "2.85"] = "1.75"
    spool_g: Annotated[float, Field(ge=50, le=20_000)] = 1000
    price_per_spool: Money | None = None
    printers: tuple[Name, ...] = ()
    lead_days: Annotated[int, Field(ge=0, le=365)] = 0


@document
class Recipe:
    """How a printer lays beads. Speeds mm/s, acceleration mm/s2, temperatures degrees Celsius;
    `corner_mm_s` is the speed kept through corners (moves run between corner speeds). `core_density` is the
    share of the inside that is filled between bottom and top layers."""

    layer_mm: Annotated[float, Field(ge=0.04, le=1)] = 0.20
    first_layer_mm: Annotated[float, Field(ge=0.04, le=1)] = 0.20
    bead_mm: Annotated[float, Field(ge=0.1, le=3)] = 0.45
    walls: Annotated[int, Field(ge=1, le=20)] = 2
    bottom_layers: Annotated[int, Field(ge=0, le=100)] = 4
    top_layers: Annotated[int, Field(ge=0, le=100)] = 4
    core_density: Annotated[float, Field(ge=0, le=1)] = 0.15
    outer_wall_mm_s: Positive = 80
    inner_wall_mm_s: Positive = 120
    fill_mm_s: Positive = 140
    travel_mm_s: Positive = 250
    first_layer_mm_s: Positive = 40
    corner_mm_s: Annotated[float, Field(ge=0, le=100)] = 8
    acceleration_mm_s2: Positive = 4000
    max_flow_mm3_s: Positive = 12
    min_layer_s: Annotated[float, Field(ge=0, le=600)] = 8
    retraction_s: Annotated[float, Field(ge=0, le=30)] = 0.3
    nozzle_c: Annotated[float, Field(ge=0, le=500)] = 210
    bed_c: Annotated[float, Field(ge=0, le=200)] = 60


@document
class OwnRecipe:
    """The recipe for one filament, by its name, or for all of one material ("PETG")."""

    of: Name
    recipe: Recipe


@document
class Printer:
    """A kind of printer; `count` of them stand in the studio. The usable bed is the bed less `margin_mm` on
    each side; `gap_mm` is left between parts. `longest_run_minutes` limits one plate. `heat_up_w` is drawn
    while it heats up, `power_w` on average while it prints. Each plate starts with `start_g` laid beside the
    parts; when another filament is put on, `change_minutes` pass and `purge_g` of the new one run through.
    Money rates feed the machine hour. `recipe` serves every filament that has none of its own."""

    name: Name
    count: Annotated[int, Field(ge=1, le=100)] = 1
    bed_width_mm: Annotated[float, Field(ge=50, le=5000)] = 256
    bed_depth_mm: Annotated[float, Field(ge=50, le=5000)] = 256
    height_mm: Annotated[float, Field(ge=20, le=5000)] = 250
    margin_mm: Annotated[float, Field(ge=0, le=100)] = 5
    gap_mm: Annotated[float, Field(ge=0, le=50)] = 3
    heat_up_minutes: Annotated[float, Field(ge=0, le=240)] = 6
    longest_run_minutes: Annotated[float, Field(ge=10, le=20_000)] = 900
    power_w: Annotated[float, Field(ge=0, le=20_000)] = 130
    heat_up_w: Annotated[float, Field(ge=0, le=20_000)] = 350
    start_g: Annotated[float, Field(ge=0, le=100)] = 0.8
    change_minutes: Annotated[float, Field(ge=0, le=240)] = 5
    purge_g: Annotated[float, Field(ge=0, le=500)] = 4
    purchase: Money = Decimal(900)
    scrap_value: Money = Decimal(0)
    life_hours: Annotated[Decimal, Field(ge=1, le=10**6)] = Decimal(6000)
    upkeep_per_hour: Money = Decimal("0.12")
    recipe: Recipe = Recipe()
    recipes: Annotated[tuple[OwnRecipe, ...], Field(max_length=200)] = ()

    def recipe_for(self, filament: Filament) -> tuple[str, Recipe]:
        """The recipe for a filament, and whose it is: the filament's own, else its material's, else
        STANDARD."""
        own = {each.of: each.recipe for each in self.recipes}
        key = next((name for name in (filament.name, filament.material) if name in own), STANDARD)
        return key, own.get(key, self.recipe)

    @property
    def usable_mm(self) -> tuple[float, float]:
        """Width and depth of the bed less its margins."""
        return self.bed_width_mm - 2 * self.margin_mm, self.bed_depth_mm - 2 * self.margin_mm
