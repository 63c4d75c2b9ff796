"""Print the lowest versions that pyproject.toml allows, as constraints for an installation.

Run: python tests/lowest.py > lowest.txt && pip install -c lowest.txt -e ".[test]"
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

PROJECT = Path(__file__).parents[1] / "pyproject.toml"
BOUND = re.compile(r"([A-Za-z0-9._-]+)>=([0-9][A-Za-z0-9.]*)")


def lowest(project: dict) -> list[str]:
    """`name==version` for each dependency of the program and of its tests.

    Raises:
        ValueError: a dependency has no lower bound.
    """
    named = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    found = []
    for requirement in named:
        match = BOUND.fullmatch(requirement)
        if match is None:
            raise ValueError(f"{requirement}: give a lower bound that is known to work, as name>=version")
        found.append(f"{match[1]}=={match[2]}")
    return found


if __name__ == "__main__":
    print("\n".join(lowest(tomllib.loads(PROJECT.read_text(encoding="utf-8"))["project"])))
