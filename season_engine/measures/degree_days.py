"""Degree days from a curve drawn through each day's extremes, as the handbooks of pest and crop timing do."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.measures.heat import growing_degree_days

FloatArray = NDArray[np.float64]

Curve = Literal["sine", "triangle"]
Span = Literal["whole_day", "two_half_days"]
AboveUpper = Literal["held_level", "folded_back", "stops"]
Cutoff = Literal["horizontal", "intermediate", "vertical"]

# As handbooks call them.
CURVES: dict[str, tuple[Curve, Span]] = {
    "single_triangle": ("triangle", "whole_day"),
    "double_triangle": ("triangle", "two_half_days"),
    "single_sine": ("sine", "whole_day"),
    "double_sine": ("sine", "two_half_days"),
}
CUTOFFS: dict[Cutoff, AboveUpper] = {
    "horizontal": "held_level",
    "intermediate": "folded_back",
    "vertical": "stops",
}
MODIFIED_AVERAGE = "modified_average"
METHODS = (MODIFIED_AVERAGE, *CURVES)


def degree_days_by(
    method: str,
    tmin_c: ArrayLike,
    tmax_c: ArrayLike,
    lower_c: float,
    upper_c: float | None = None,
    cutoff: Cutoff = "horizontal",
) -> FloatArray:
    """Degree days of each day [degC d] by one of METHODS, shape (..., days); NaN where a reading is missing.

    The modified average has one cutoff only, the horizontal; see `growing_degree_days`, limits on extremes.
    """
    if method == MODIFIED_AVERAGE:
        return growing_degree_days(tmin_c, tmax_c, lower_c, upper_c, limits_on="extremes")
    curve, span = CURVES[method]
    return degree_days_from_curve(
        tmin_c, tmax_c, lower_c, upper_c, curve=curve, span=span, above_upper=CUTOFFS[cutoff]
    )


def degree_days_from_curve(
    tmin_c: ArrayLike,
    tmax_c: ArrayLike,
    lower_c: float,
    upper_c: float | None = None,
    *,
    curve: Curve = "sine",
    span: Span = "whole_day",
    above_upper: AboveUpper = "held_level",
    next_tmin_c: ArrayLike | None = None,
) -> FloatArray:
    """Area between the day's temperature curve and the lower threshold.

    Parameters
    ----------
    tmin_c, tmax_c : degC, shape (..., days), consecutive days.
    lower_c, upper_c : lower and upper threshold ("upper cutoff"); without an upper one None.
    curve : ``sine`` or ``triangle``.
    span : ``whole_day`` goes from Tmin up and back to the same Tmin; handbooks call it the single sine or
        single triangle. ``two_half_days`` comes down to the next day's Tmin: the double sine or triangle.
    above_upper : ``held_level`` counts warmth beyond the upper threshold as that warm (horizontal cutoff);
        ``folded_back`` takes off as much as the curve passes it by (intermediate cutoff), though never more
        than there is; ``stops`` counts nothing while it is that warm (vertical cutoff).
    next_tmin_c : Tmin that ends each day, for ``two_half_days``; if None the next day's, and for the last day
        its own.

    Returns
    -------
    Degree days of each day [degC d], in the shape the extremes broadcast to. NaN where a reading they rest on
    is missing, or where Tmin lies above Tmax. Nothing rests on Celsius: degF in, degree days in degF out.

    References
    ----------
    Zalom, F. G. et al. (1983), Degree-days: the calculation and use of heat units in pest management,
    University of California leaflet 21373 (read in a secondary copy, the R package degday); names of the
    cutoffs: UC IPM, glossary of degree-day methods; sine: Baskerville, G. L. & Emin, P. (1969), Ecology 50,
    514-517. The handbook's intermediate cutoff is ``D(lower) - 2 D(upper)``, the same as here up to the
    temperature as far above the upper threshold as the lower lies below it.
    """
    tmin, tmax = np.broadcast_arrays(np.asarray(tmin_c, np.float64), np.asarray(tmax_c, np.float64))
    upper = np.inf if upper_c is None else upper_c
    falling_to = _next(tmin) if next_tmin_c is None else np.broadcast_to(next_tmin_c, tmin.shape)
    first = _area(tmin, tmax, lower_c, upper, curve, above_upper)
    if span == "whole_day":
        return first
    return (first + _area(np.asarray(falling_to, np.float64), tmax, lower_c, upper, curve, above_upper)) / 2.0


def _area(
    tmin: FloatArray, tmax: FloatArray, lower: float, upper: float, curve: Curve, above_upper: AboveUpper
) -> FloatArray:
    area = area_above(lower, tmin, tmax, curve)
    if np.isfinite(upper):
        beyond = area_above(upper, tmin, tmax, curve)
        if above_upper == "held_level":
            area = area - beyond
        elif above_upper == "folded_back":
            area = area - 2.0 * beyond + area_above(2.0 * upper - lower, tmin, tmax, curve)
        else:
            area = area - beyond - (upper - lower) * share_above(upper, tmin, tmax, curve)
    # Differences of equal areas may leave a rounding error below nought.
    return np.where(tmin > tmax, np.nan, np.maximum(area, 0.0))


def area_above(level: FloatArray | float, tmin: FloatArray, tmax: FloatArray, curve: Curve) -> FloatArray:
    """Mean height of the curve above a level over the day, where it is above it."""
    middle, reach = (tmax + tmin) / 2.0, (tmax - tmin) / 2.0
    crossing = _crossing(level, middle, reach)
    if curve == "triangle":
        part = (1.0 - crossing) / 2.0
        return np.where(crossing <= -1.0, middle - level, reach * part * (1.0 - crossing) / 2.0)
    angle = np.arcsin(crossing)
    part = ((middle - level) * (np.pi / 2.0 - angle) + reach * np.cos(angle)) / np.pi
    return np.where(crossing <= -1.0, middle - level, np.where(crossing >= 1.0, 0.0 * middle, part))


def share_above(level: float, tmin: FloatArray, tmax: FloatArray, curve: Curve) -> FloatArray:
    """Share of the day that the curve spends above a level."""
    crossing = _crossing(level, (tmax + tmin) / 2.0, (tmax - tmin) / 2.0)
    return (1.0 - crossing) / 2.0 if curve == "triangle" else 0.5 - np.arcsin(crossing) / np.pi


def _crossing(level: FloatArray | float, middle: FloatArray, reach: FloatArray) -> FloatArray:
    """Where the curve crosses a level: -1 at Tmin (or always above it) to 1 at Tmax (or always below)."""
    flat = reach < 1e-9
    safe = np.where(flat, 1.0, reach)
    within = np.clip((level - middle) / safe, -1.0, 1.0)
    # A day without a swing lies above the level or it doesn't; NaN must stay NaN.
    return np.where(flat, np.where(middle > level, -1.0, 1.0), within) + 0.0 * middle


def _next(tmin: FloatArray) -> FloatArray:
    return np.concatenate([tmin[..., 1:], tmin[..., -1:]], axis=-1)
