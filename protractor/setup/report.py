"""A correction as a machine reads it: the stable keys of `correct --json` and of the log."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from protractor.alignments.alignment import Alignment
from protractor.arms.distortion import second_harmonic
from protractor.setup.correction import Correction


def report(found: Correction, target: Alignment) -> dict[str, Any]:
    """Everything about a correction under the stable keys of `--json`.

    `target` is the alignment of the arm that is wanted. The curve is given at nine radii from the
    inner to the outer edge of the recorded area.
    """
    now = found.as_alignment(target)
    side = target.record
    radii = np.linspace(side.inner_radius_mm, side.outer_radius_mm, 9)
    error = found.now.tracking_error(radii)
    harmonic = second_harmonic(error, radii, side.rpm, target.peak_velocity_cm_s)
    harmonic = harmonic * target.equalisation.factor()
    own = target.peak_second_harmonic_percent
    return {
        "effective_length_now_mm": found.now.effective_length_mm,
        "effective_length_now_mm_95": list(found.effective_length_interval_mm),
        "offset_angle_now_deg": found.now.offset_angle_deg,
        "offset_angle_now_deg_95": list(found.offset_angle_interval_deg),
        "overhang_now_mm": found.now.overhang_mm,
        "overhang_now_mm_95": list(found.overhang_interval_mm),
        "pivot_to_spindle_mm": found.now.pivot_to_spindle_mm,
        "null_radii_now_mm": [r if r > 0 else None for r in found.now.null_radii_mm],
        "peak_tracking_error_deg_now": now.peak_tracking_error_deg,
        "peak_second_harmonic_percent_now": now.peak_second_harmonic_percent,
        "slide_mm": found.slide_mm,
        "slide_mm_95": list(found.slide_interval_mm),
        "turn_deg": found.turn_deg,
        "turn_deg_95": list(found.turn_interval_deg),
        "leave_it": found.leave_it,
        "verdict": found.verdict,
        "peak_second_harmonic_percent_now_95": _percent(own, found.outlook.now_interval),
        "peak_second_harmonic_percent_moved_95": _percent(own, found.outlook.after_interval),
        "gain_probability": found.outlook.gain,
        "curve_now": {
            "radius_mm": radii.tolist(),
            "tracking_error_deg": np.degrees(error).tolist(),
            "second_harmonic_percent": (100 * harmonic).tolist(),
        },
        "target": target.as_dict(),
    }


def _percent(own: float, ratios: tuple[float, float]) -> list[float | None]:
    """An interval of ratios as one in percent; None where an arm may miss the record."""
    return [own * v if math.isfinite(v) else None for v in ratios]
