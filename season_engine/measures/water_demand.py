"""How much water the air asks for: reference evapotranspiration from daily extremes."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

SOLAR_CONSTANT_MJ = 0.0820  # MJ per m2 and minute
EVAPORATED_MM_PER_MJ = 0.408  # one over the latent heat of vaporisation, 2.45 MJ per kg


def extraterrestrial_radiation_mj(latitude_deg: ArrayLike, day_of_year: ArrayLike) -> FloatArray:
    """Sun on a level surface above the air, Ra of FAO-56, equations 21 to 25.

    Its declination and sunset are FAO-56's own, without refraction; `day_length_h` has others. Use Ra with
    its own sunset only: two definitions of the day don't belong in one model.

    Parameters
    ----------
    latitude_deg : degrees, north positive, from -90 to 90.
    day_of_year : 1 for 1 January to 366; broadcasts with the latitude.

    Returns
    -------
    MJ per m2 and day; 0 in polar night.

    References
    ----------
    Allen, R. G. et al. (1998), Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, chapter 3
    (declination and sunset read in secondary copies, the rest from memory; checked by its example 8).
    """
    turn = 2.0 * np.pi * np.asarray(day_of_year, dtype=np.float64) / 365.0
    latitude = np.radians(np.asarray(latitude_deg, dtype=np.float64))
    nearness = 1.0 + 0.033 * np.cos(turn)  # of the sun, inverse and squared
    declination = 0.409 * np.sin(turn - 1.39)
    sunset = np.arccos(np.clip(-np.tan(latitude) * np.tan(declination), -1.0, 1.0))
    height = sunset * np.sin(latitude) * np.sin(declination)
    height = height + np.cos(latitude) * np.cos(declination) * np.sin(sunset)
    radiation: FloatArray = 24.0 * 60.0 / np.pi * SOLAR_CONSTANT_MJ * nearness * height
    return np.maximum(radiation, 0.0)


def reference_evapotranspiration_mm(
    tmin_c: ArrayLike, tmax_c: ArrayLike, latitude_deg: ArrayLike, day_of_year: ArrayLike
) -> FloatArray:
    """Water that short grass, well watered, would lose in a day, by Hargreaves and Samani.

    Wind, rain and humidity aren't in it: it is too low in strong wind and too high in damp air.

    Parameters
    ----------
    tmin_c, tmax_c : degC, any shapes that broadcast with the others.
    latitude_deg, day_of_year : as for `extraterrestrial_radiation_mj`.

    Returns
    -------
    mm a day, never below 0; NaN where a reading is.

    References
    ----------
    Hargreaves, G. H. & Samani, Z. A. (1985), Reference crop evapotranspiration from temperature, Applied
    Engineering in Agriculture 1, 96-99, in the form of FAO-56, equation 52 (read in secondary copies).
    """
    low, high = np.asarray(tmin_c, dtype=np.float64), np.asarray(tmax_c, dtype=np.float64)
    radiation_mm = EVAPORATED_MM_PER_MJ * extraterrestrial_radiation_mj(latitude_deg, day_of_year)
    swing = np.sqrt(np.maximum(high - low, 0.0))
    water: FloatArray = 0.0023 * ((low + high) / 2.0 + 17.8) * swing * radiation_mm
    return np.maximum(water, 0.0)
