"""How much filler or sealant a joint takes.

Source: trade brief 3.4, common practice, no source: volume is width x depth x length; a tooled groove has
rounded edges and holds about 2/3 of that. Where a plan gives no width or depth, the typical one stands in
and is marked as typical.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from ..plan.model import Joint, JointKind, Treatment
from ..units.factors import INCH_M, M3_L
from ..values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """The cross-section of a joint: typical width and depth, and how much of their product is hollow."""

    width_m: float
    depth_m: float
    share: float = 1.0


_GROOVE = Profile(width_m=3 / 8 * INCH_M, depth_m=3 / 4 * INCH_M, share=2 / 3)
_CUT = Profile(width_m=3 / 16 * INCH_M, depth_m=INCH_M)
_SEALANT = Profile(width_m=1 / 2 * INCH_M, depth_m=3 / 8 * INCH_M)
_CHASE = Profile(width_m=1 / 4 * INCH_M, depth_m=1 / 2 * INCH_M)

PROFILES: Final[Mapping[JointKind, Profile]] = MappingProxyType(
    {
        JointKind.GROOVE: _GROOVE,
        JointKind.SAW_CUT: _CUT,
        JointKind.CONSTRUCTION: _CUT,
        JointKind.ISOLATION: _SEALANT,
        JointKind.CRACK: _CHASE,
    }
)

FILLED: Final = (Treatment.FILL, Treatment.SEAL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Width and depth of one joint, and whether either is a typical value."""

    width_m: float
    depth_m: float
    share: float
    typical: bool

    def volume_l(self, length_m: float) -> float:
        """Litres along a length."""
        return self.width_m * self.depth_m * self.share * length_m * M3_L


def section(joint: Joint) -> Section:
    """Width and depth as typed, or typical for the kind."""
    usual = PROFILES[joint.kind]
    return Section(
        width_m=joint.width.m if joint.width else usual.width_m,
        depth_m=joint.depth.m if joint.depth else usual.depth_m,
        share=usual.share,
        typical=joint.width is None or joint.depth is None,
    )


def fill_volume_l(joint: Joint, length_m: float) -> float:
    """Litres that a joint takes, 0 where its treatment fills nothing."""
    return section(joint).volume_l(length_m) if joint.treatment in FILLED else 0.0
