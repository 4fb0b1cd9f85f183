"""The guide's worked lines work."""

from __future__ import annotations

import doctest
from pathlib import Path


def test_guide_for_contributors() -> None:
    """Every worked line of DEVELOPERS.md gives what it says."""
    path = Path(__file__).parents[1] / "DEVELOPERS.md"
    done = doctest.testfile(str(path), module_relative=False)
    assert done.attempted > 5
    assert done.failed == 0
