"""The presets of recorded areas against what their standards print."""

from __future__ import annotations

import pytest

from protractor.arms.records import RECORD_PRESETS, record

INCH = 25.4
ACROSS_MM = {
    "12-iec-1958": (11.5 * INCH, 4.75 * INCH, None),
    "12-riaa-1963": (11.5 * INCH, 4.75 * INCH, 4.1875 * INCH),
    "12-din-1981": (292.6, 115.0, 106.4),
    "12-din-trade": (11.5 * INCH, 115.0, None),
    "12-iec-1987": (292.6, None, 106.4),
    "12-jis-1973": (293.0, 115.2, 106.4),
    "10-iec-1987": (241.8, None, 106.4),
    "10-jis-1973": (242.0, 115.2, 106.4),
    "7-iec-1987": (168.3, None, 97.4),
    "7-jis-1973": (168.0, 106.0, 97.0),
}
"""Diameters of the recorded area, outer and inner, and of the finishing groove.

IEC 98:1958 and 1987, RIAA 1963, DIN 45547:1981, JIS S 8502:1973; `12-din-trade` is common practice.
"""


def test_every_preset_is_checked() -> None:
    """A preset that is added needs its published diameters here."""
    assert set(ACROSS_MM) == set(RECORD_PRESETS)


@pytest.mark.parametrize("name", ACROSS_MM)
def test_radii_and_speeds(name: str) -> None:
    """Radii are half the published diameters; 7-inch records turn at 45 rpm, others at 33 1/3."""
    preset = RECORD_PRESETS[name]
    radii = preset.outer_radius_mm, preset.inner_radius_mm, preset.finishing_groove_radius_mm
    for radius, across in zip(radii, ACROSS_MM[name], strict=True):
        assert radius == (None if across is None else pytest.approx(across / 2, abs=1e-9))
    rpm = record(name, inner_radius_mm=60.0).rpm
    assert rpm == pytest.approx(45.0 if name.startswith("7") else 33.3333, abs=5e-5)
