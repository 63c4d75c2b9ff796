"""The pictures in the repository are what the documented command makes."""

from __future__ import annotations

import gallery
import numpy as np
import pytest
from pictures import same_size, svg_picture
from scipy.ndimage import gaussian_filter


@pytest.mark.parametrize("name", gallery.PICTURES)
def test_picture_is_what_the_command_makes(name: str) -> None:
    """Byte for byte; or, where a library rounds otherwise, nowhere more than a tenth of grey apart."""
    kept = (gallery.FOLDER / name).read_bytes()
    made = gallery.picture(name)
    if kept != made:
        a, b = (
            gaussian_filter(each, 1.0) for each in same_size(svg_picture(kept, 100), svg_picture(made, 100))
        )
        assert np.abs(a - b).max() < 0.1, "run: python tests/gallery.py"


def test_no_picture_is_left_over() -> None:
    """Every picture in the folder is one that the command makes."""
    assert {path.name for path in gallery.FOLDER.iterdir()} == set(gallery.PICTURES)
