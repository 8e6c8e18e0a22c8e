"""Hours from sunrise to sunset."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

SUNRISE_ANGLE_DEG = 0.8333
"""Depth of the sun's centre below the horizon when its upper edge shows through the air's refraction."""


def day_length_h(
    latitude_deg: ArrayLike, day_of_year: ArrayLike, sun_angle_deg: float = SUNRISE_ANGLE_DEG
) -> NDArray[np.float64]:
    """Day length of the CBM model, 24 in polar day and 0 in polar night.

    Parameters
    ----------
    latitude_deg : degrees, north positive, from -90 to 90.
    day_of_year : 1 for 1 January to 366; broadcasts with the latitude.
    sun_angle_deg : how far below the horizon the sun's centre stands at sunrise: 0.8333 for the upper edge
        with refraction, 0 for the centre on the horizon. Don't mix two of these in one model: they differ by
        about ten minutes in middle latitudes.

    Returns
    -------
    Hours, in the shape the two arrays broadcast to.

    References
    ----------
    Forsythe, W. C. et al. (1995), A model comparison for daylength as a function of latitude and day of year,
    Ecological Modelling 80, 87-95 (read in secondary copies).
    """
    day = np.asarray(day_of_year, dtype=np.float64)
    latitude = np.radians(np.asarray(latitude_deg, dtype=np.float64))
    revolution = 0.2163108 + 2.0 * np.arctan(0.9671396 * np.tan(0.00860 * (day - 186.0)))
    declination = np.arcsin(0.39795 * np.cos(revolution))
    cosine = (np.sin(np.radians(sun_angle_deg)) + np.sin(latitude) * np.sin(declination)) / (
        np.cos(latitude) * np.cos(declination)
    )
    hours: NDArray[np.float64] = 24.0 - 24.0 / np.pi * np.arccos(np.clip(cosine, -1.0, 1.0))
    return hours
