"""Filler, sealant and backer rod from width x depth x length of the joints."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from ..errors import Notice
from ..measure.model import MeasuredJoint, SlabTakeoff
from ..plan.model import JointKind, Treatment
from ..system.model import Measure, Product
from ..units import factors
from ..units.length import UnitStyle
from ..units.rounding import decimal_text
from .model import Term
from .words import Words, plain, share

# Common practice, no source: 10 to 20 % more than the joint holds.
EXTRA: Final = 0.15
# Backer rod is a size or two wider than the joint, so that it stays put. Inches sold; rolls of 100 ft.
ROD_INCHES: Final = (0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0, 1.25, 1.5, 2.0)
ROD_WIDER: Final = 1.2
ROD_ROLL_FT: Final = 100.0


def joint_terms(slab: SlabTakeoff, words: Words) -> tuple[tuple[Term, ...], tuple[Notice, ...]]:
    """Needs of the joints that are filled or sealed on one slab, and what could not be worked out."""
    system = slab.slab.system
    terms: list[Term] = []
    notices: list[Notice] = []
    for treatment, product in ((Treatment.FILL, system.joint_filler), (Treatment.SEAL, system.joint_sealant)):
        joints = [j for j in slab.joints if j.joint.treatment is treatment and j.length_m > 0]
        if joints and product is None:
            notices.append(_no_product(slab, treatment, joints, words))
        elif joints and product is not None:
            terms.append(_volume(slab.name, treatment, product, joints, words))
        if treatment is Treatment.SEAL:
            terms += _rods(slab.name, joints, words)
    return tuple(terms), tuple(notices)


def _no_product(
    slab: SlabTakeoff, treatment: Treatment, joints: Sequence[MeasuredJoint], words: Words
) -> Notice:
    volume = sum(j.fill_volume_l for j in joints) * (1 + EXTRA)
    what = "filler" if treatment is Treatment.FILL else "sealant"
    return Notice(
        code="joint-product-unknown",
        text=f"the system names no joint {what}; {words.amount(Measure.VOLUME, volume)} are needed",
        where=slab.name,
    )


def _volume(
    slab: str, treatment: Treatment, product: Product, joints: Sequence[MeasuredJoint], words: Words
) -> Term:
    volume = sum(j.fill_volume_l for j in joints)
    need = volume * (1 + EXTRA)
    parts = ", ".join(_one(j, words) for j in joints)
    if words.figures.is_us:
        cubic = volume / factors.CUIN_L
        total = (
            f"together {decimal_text(cubic, 1)} cu in / {factors.GALLON_CUIN} = "
            if len(joints) > 1
            else "/ 231 = "
        )
        how = f"{parts}{', ' if len(joints) > 1 else ' '}{total}{words.amount(Measure.VOLUME, volume)}"
    else:
        how = f"{parts}, together {words.amount(Measure.VOLUME, volume)}"
    how += f", + {share(EXTRA)} = {words.amount(Measure.VOLUME, need)}"
    layer = "fill joints" if treatment is Treatment.FILL else "seal joints"
    return Term(slab=slab, layer=layer, product=product, amount=need, how=how)


def _one(joint: MeasuredJoint, words: Words) -> str:
    """`saw cuts 45.75 ft x 3/16 in x 1 in = 102.9 cu in`, with the profile factor of a tooled groove."""
    box_l = joint.length_m * joint.width_m * joint.depth_m * factors.M3_L
    profile = joint.fill_volume_l / box_l if box_l else 1.0
    sides = f"{words.run(joint.length_m)} x {words.inches(joint.width_m)} x {words.inches(joint.depth_m)}"
    if abs(profile - 1) > 1e-6:
        sides += f" x {plain(profile, 2)} rounded profile"
    if words.figures.is_us:
        volume = f"{decimal_text(joint.fill_volume_l / factors.CUIN_L, 1)} cu in"
    else:
        volume = f"{decimal_text(joint.fill_volume_l * 1000, 0)} mL"
    typical = " (typical size, not measured)" if joint.typical else ""
    return f"{joint.joint.name or joint.joint.kind.value} {sides}{typical} = {volume}"


def _rods(slab: str, joints: Sequence[MeasuredJoint], words: Words) -> list[Term]:
    """Backer rod for each width; a crack is sealed without."""
    by_size: dict[float, float] = {}
    for joint in joints:
        if joint.joint.kind is not JointKind.CRACK and joint.width_m > 0:
            size = rod_inches(joint.width_m)
            by_size[size] = by_size.get(size, 0.0) + joint.length_m
    terms = []
    for size, length in by_size.items():
        need = length * (1 + EXTRA)
        # Prices and stock know a rod by the size it is sold in, whatever the units of the plan.
        sold = Words(UnitStyle.IN).inches(size * factors.INCH_M)
        text = sold if words.figures.is_us else f"{plain(size * factors.INCH_MM, 0)} mm ({sold})"
        how = f"{words.run(length)} of joint, + {share(EXTRA)} = {words.run(need)}"
        rod = Product(
            name=f"backer rod {sold}",
            title=f"backer rod {text}",
            measure=Measure.LENGTH,
            pack_word="roll",
            packs=(ROD_ROLL_FT * factors.FOOT_M,),
        )
        terms.append(
            Term(slab=slab, layer="seal joints", product=rod, amount=need, how=how, source="typical")
        )
    return terms


def rod_inches(width_m: float) -> float:
    """Diameter of backer rod for a joint: the first size a fifth wider than the joint (common practice)."""
    wanted = width_m / factors.INCH_M * ROD_WIDER
    return next((size for size in ROD_INCHES if size >= wanted), ROD_INCHES[-1])
