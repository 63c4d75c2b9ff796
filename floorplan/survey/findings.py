"""What a solver has to say: a short code, the corners it is about, and the figures for the sentence.

A finding holds no sentence: `survey.words` makes one in the user's units, and whoever called the solver knows
the line in the plan. A finding inside a result is a warning; inside `Unsolved` it is a fault.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from ..values import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something the estimator should know.

    Attributes:
        code: short lasting word, a row of `survey.words`.
        about: corners or points it is about; two for a length.
        figures: by name; the end of a name is its unit (`_m`, `_m2`, `_deg`), else it is shown as it is.
        choices: what would put it right, one of them, each in its own words; all fit equally well.
    """

    code: str
    about: tuple[str, ...] = ()
    figures: Mapping[str, float | str] = field(default_factory=dict)
    choices: tuple[Finding, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "figures", MappingProxyType(dict(self.figures)))


class Unsolved(Exception):
    """The measurements do not make one shape; the findings say why.

    Attributes:
        findings: at least one.
    """

    def __init__(self, findings: Finding | Iterable[Finding]) -> None:
        self.findings = (findings,) if isinstance(findings, Finding) else tuple(findings)
        if not self.findings:
            raise ValueError("an Unsolved needs at least one finding")
        super().__init__(", ".join(finding.code for finding in self.findings))
