"""What a user keeps for all his jobs: the firm's figures and coating systems of his own, in one folder."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from .output import say

if TYPE_CHECKING:
    from floorplan.order.firm import Firm

FIRM_FILE = "firm.toml"
SYSTEMS_FOLDER = "systems"


def user_folder() -> Path:
    """The folder, by the custom of the user's system; it need not be there."""
    from platformdirs import user_config_path

    return Path(user_config_path("floorplan", appauthor=False))


def users_firm() -> Firm:
    """The figures of the firm file in the user's folder, said on stderr; no figures where there is none."""
    from floorplan.order.firm import Firm

    path = firm_path()
    if path is None:
        return Firm()
    from floorplan.order.firm_reader import load_firm

    say(f"the firm's figures: {path}")
    return load_firm(path)


def firm_path() -> Path | None:
    """The firm file in the user's folder, None where there is none."""
    from floorplan.files.noted import is_there

    path = user_folder() / FIRM_FILE
    return path if is_there(path) else None
