"""What the crew does with a joint when the plan does not say, and what it must not do.

Common practice, no source (the terms follow ACI 224.3R and ACI 302.1R, from memory). A treatment that never
fits is a fault; one that needs a second thought is a warning.
"""

from __future__ import annotations

from .model import JointKind, Treatment

_INDOORS = {
    JointKind.GROOVE: Treatment.BRUSH_OUT,
    JointKind.SAW_CUT: Treatment.FILL,
    JointKind.CONSTRUCTION: Treatment.FILL,
    JointKind.ISOLATION: Treatment.SEAL,
    JointKind.CRACK: Treatment.FILL,
}
_OUTDOORS = _INDOORS | {JointKind.SAW_CUT: Treatment.LEAVE, JointKind.CONSTRUCTION: Treatment.LEAVE}

NEVER = {
    (JointKind.ISOLATION, Treatment.FILL): "an isolation joint always moves: a rigid fill cracks through",
    (JointKind.ISOLATION, Treatment.BRIDGE): "an isolation joint always moves: a coat across it tears",
}
"""Treatments that a kind of joint must not get, and why."""

NEVER_HINT = "seal it (recess the filler, backer and sealant last), or leave it and mask it"

DOUBTFUL = {
    (JointKind.GROOVE, Treatment.BRIDGE): "a bridged groove shows as a line and may crack",
    (JointKind.SAW_CUT, Treatment.BRIDGE): "a bridged saw cut moves with the seasons and will show a line",
    (JointKind.CONSTRUCTION, Treatment.BRIDGE): "a bridged construction joint may move and show a line",
    (JointKind.ISOLATION, Treatment.BRUSH_OUT): "never coat across an isolation joint: mask it, then seal it",
    (JointKind.CRACK, Treatment.BRUSH_OUT): "a crack is chased and filled, not brushed out",
}
"""Treatments that need a second thought, and why."""

WIDE_CRACK_IN = 0.25
"""A crack wider than this is a structural or drainage question first, inches."""


def usual(kind: JointKind, *, outdoors: bool) -> Treatment:
    """The usual treatment: grooves are brushed out, saw cuts left open outdoors and filled indoors."""
    return (_OUTDOORS if outdoors else _INDOORS)[kind]
