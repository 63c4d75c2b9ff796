"""Coating systems as layers of data: what is spread on which surface, at what rate, from what packs.

A *system* is a list of *layers* in the order of the work. A layer is a *coat* (liquid), a *broadcast* (flake,
quartz or sand thrown into a wet coat) or a piece of *work* (grind, scrape). A coat or broadcast spreads a
*product*, sold in *packs* (kits, boxes, bags), over some *surfaces*. A *grade* is how rough the floor is
after grinding; it divides the spread rate of the first coat only. Times are at the product's stated
temperature, in the shade.

Every shipped figure is typical (common practice, no source): the product's data sheet rules.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Final

from ..errors import Place
from ..values import dataclass, field


class Surface(StrEnum):
    """A part of the job that a layer covers; in a system file `steps` stands for treads and risers.

    A *border* runs along the outline in a colour of its own; the *field* is the floor inside it.
    """

    FLOOR = "floor"
    TREADS = "treads"
    FACES = "faces"
    RISERS = "risers"
    BAND = "band"
    FIELD = "field"
    BORDER = "border"

    @property
    def vertical(self) -> bool:
        """True where material hangs and is spread at the vertical rate."""
        return self in (Surface.FACES, Surface.RISERS)


class Measure(StrEnum):
    """How a product is sold: litres, kilograms, metres of length, or by the piece."""

    VOLUME = "volume"
    WEIGHT = "weight"
    LENGTH = "length"
    PIECE = "piece"


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """How rough the floor is after grinding.

    Attributes:
        name: as typed in a plan ("broom").
        factor: divides the spread rate of the first coat, >= 1.
        low: smallest factor commonly met.
        high: largest factor commonly met.
        profile: surface profile grades it stands for, "" when not stated.
        note: what to do about it, "" for nothing.
    """

    name: str
    factor: float
    low: float
    high: float
    profile: str = ""
    note: str = ""


# The grade of a system that states none.
SMOOTH: Final = Grade(name="", factor=1.0, low=1.0, high=1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """Clock of a liquid at `at_c` degrees Celsius; None where a time is not stated.

    Attributes:
        mix_min: stirring, minutes.
        pail_min: until the mass in the pail goes off, minutes.
        floor_min: workable as a film on the floor, minutes.
        dry_h: dry to touch, hours.
        recoat_min_h: earliest next coat, hours.
        recoat_max_h: latest next coat without abrading, hours.
        foot_h: foot traffic, hours.
        furniture_h: furniture, hours.
        vehicle_h: vehicles, hours.
        at_c: temperature of the material that the times are for.
    """

    mix_min: float | None = None
    pail_min: float | None = None
    floor_min: float | None = None
    dry_h: float | None = None
    recoat_min_h: float | None = None
    recoat_max_h: float | None = None
    foot_h: float | None = None
    furniture_h: float | None = None
    vehicle_h: float | None = None
    at_c: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a mixed product: its share of the mix by volume, and its density where known."""

    name: str
    share: float
    density_kg_per_l: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """Something bought in packs.

    Attributes:
        name: as layers, prices and stock name it.
        title: in words.
        measure: what a pack is counted in; pack sizes and needs are in litres, kilograms, metres or pieces.
        pack_word: "kit", "box", "bag", "pail", "cartridge", "roll".
        packs: pack sizes, the usual one first, each > 0.
        parts: what is mixed, in the order of mixing; empty when used as it is.
        solids: share of the volume that stays when dry, None when not stated.
        times: clock of the liquid.
        spare_share: spare below this share of the need is a thin margin: order one more. 0 never orders more.
        colours: a blend by weight, (colour, share) with shares that sum to 1; empty for one colour.
        cautions: lines for the crew.
        source: name of the file that the figures come from.
    """

    name: str
    title: str
    measure: Measure
    pack_word: str
    packs: tuple[float, ...]
    parts: tuple[Part, ...] = ()
    solids: float | None = None
    times: Times = Times()
    spare_share: float = 0.0
    colours: tuple[tuple[str, float], ...] = ()
    cautions: tuple[str, ...] = ()
    source: str = ""
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Grit:
    """Slip-resistant grit stirred into a coat: kilograms to each litre."""

    product: Product
    kg_per_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Coat:
    """A liquid layer.

    Attributes:
        name: of the layer ("topcoat 1").
        product: what is spread.
        on: surfaces that it covers.
        rate_m2_per_l: on a smooth floor, > 0.
        vertical_m2_per_l: on faces and risers; None takes `rate_m2_per_l`.
        first: the coat on the ground floor, whose rate the grade divides.
        texture: share of the rate lost over flake, 0 for none.
        waste: added to the need, as a share (0.05).
        grit: stirred in, None for none.
        times: clock of this layer.
    """

    name: str
    product: Product
    on: tuple[Surface, ...]
    rate_m2_per_l: float
    vertical_m2_per_l: float | None = None
    first: bool = False
    texture: float = 0.0
    waste: float = 0.0
    grit: Grit | None = None
    times: Times = Times()
    note: str = ""

    def coverage_m2_per_l(self, surface: Surface = Surface.FLOOR, factor: float = 1.0) -> float:
        """Square metres that a litre of mixed product covers, after grade and texture, before waste.

        Args:
            surface: where it is spread; grade and texture of the floor do not count on faces and risers.
            factor: of the grade, >= 1; used by a first coat only.
        """
        if surface.vertical and self.vertical_m2_per_l is not None:
            return self.vertical_m2_per_l
        return self.rate_m2_per_l * (1 - self.texture) / (factor if self.first else 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Broadcast:
    """Flake, quartz or sand thrown into a wet coat.

    Attributes:
        name: of the layer ("flake").
        product: what is thrown.
        on: surfaces that it covers.
        thrown_kg_per_m2: on floor and treads, > 0.
        vertical_kg_per_m2: on faces and risers; None takes `thrown_kg_per_m2`.
        back: share of what is thrown on the floor that comes back with the broom.
        vertical_back: the same for faces and risers.
        full: thrown to refusal, so that it must not run out.
        reclaim_low: least share of reclaimed flake in a bucket that is called a limit.
        reclaim_high: greatest share of reclaimed flake in a bucket; 0 when none may be used.
    """

    name: str
    product: Product
    on: tuple[Surface, ...]
    thrown_kg_per_m2: float
    vertical_kg_per_m2: float | None = None
    back: float = 0.0
    vertical_back: float = 0.0
    full: bool = False
    reclaim_low: float = 0.0
    reclaim_high: float = 0.0
    note: str = ""

    def thrown_on(self, surface: Surface) -> float:
        """Kilograms thrown on a square metre of a surface."""
        if surface.vertical and self.vertical_kg_per_m2 is not None:
            return self.vertical_kg_per_m2
        return self.thrown_kg_per_m2

    def back_from(self, surface: Surface) -> float:
        """Share of what is thrown on a surface that comes back."""
        return self.vertical_back if surface.vertical else self.back


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A piece of work between coats that uses no product of the system: grind, scrape, sweep."""

    name: str
    note: str = ""


Layer = Coat | Broadcast | Work


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatingSystem:
    """A coating system.

    Attributes:
        name: as a plan names it.
        title: in words, for sheets and lists.
        layers: in the order of the work.
        use: where it is used.
        outdoors: True for floors under the sky.
        grade: name of the grade that is taken when a slab states none.
        grades: every grade that a slab may name.
        build: dry thickness in words, "" when not stated.
        joint_filler: product for joints with the treatment fill.
        joint_sealant: product for joints with the treatment seal.
        cautions: lines for the crew and the list.
        never: what the system must not be used for.
        typical: True while its figures are typical values, not those of a data sheet.
        customer: what the customer's papers call it: scope in plain words.
        border_m: width of a border along the outline, 0 for none.
        least_crew: people that it takes on the first day however small the floor.
        source: the file that it was read from.
    """

    name: str
    title: str
    layers: tuple[Layer, ...] = ()
    use: str = ""
    outdoors: bool = False
    grade: str = ""
    grades: tuple[Grade, ...] = ()
    build: str = ""
    joint_filler: Product | None = None
    joint_sealant: Product | None = None
    cautions: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    typical: bool = True
    customer: str = ""
    border_m: float = 0.0
    least_crew: int = 1
    source: str = ""

    @property
    def coats(self) -> tuple[Coat, ...]:
        """The liquid layers, in order."""
        return tuple(layer for layer in self.layers if isinstance(layer, Coat))

    @property
    def broadcasts(self) -> tuple[Broadcast, ...]:
        """What is thrown, in order."""
        return tuple(layer for layer in self.layers if isinstance(layer, Broadcast))

    def layer(self, name: str) -> Layer:
        """The layer of that name.

        Raises:
            KeyError: the system has no such layer.
        """
        for layer in self.layers:
            if layer.name == name:
                return layer
        raise KeyError(name)

    def grade_of(self, surface: str) -> Grade:
        """The grade that a slab names, or the system's own for ""; smooth where neither names one.

        Raises:
            KeyError: no such grade.
        """
        wanted = surface or self.grade
        if not wanted:
            return SMOOTH
        for grade in self.grades:
            if grade.name == wanted:
                return grade
        raise KeyError(wanted)

    def coverage_m2_per_l(self, layer: str, surface: Surface = Surface.FLOOR, *, grade: str = "") -> float:
        """What a litre of a coat covers after grade and texture, before waste.

        Args:
            layer: name of a coat.
            surface: where it is spread.
            grade: as the slab names it, "" for the system's own.

        Raises:
            KeyError: no such layer or grade.
            TypeError: the layer is not a coat.
        """
        coat = self.layer(layer)
        if not isinstance(coat, Coat):
            raise TypeError(f"{layer!r} is not a coat")
        return coat.coverage_m2_per_l(surface, self.grade_of(grade).factor)
