"""Sunlight from a day's lowest and highest temperature, by the hour, on a standing cylinder."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.measures.hourly import HOURS
from season_engine.measures.water_demand import extraterrestrial_radiation_mj

FloatArray = NDArray[np.float64]

INLAND, COASTAL = 0.16, 0.19  # per root of a kelvin
CLEAREST = 0.75  # share of the sun above the air that a clear day lets through: FAO-56, equation 37
SUN_W_M2 = 1353.0  # above the air, as the beam's formula has it
GROUND = 0.2  # share of the light that bare or green ground throws back, from memory
SECONDS = 3600.0


def clearness(tmin_c: ArrayLike, tmax_c: ArrayLike, per_root_k: float = INLAND) -> FloatArray:
    """Share of the sun above the air that reaches the ground: ``0.16 sqrt(Tmax - Tmin)``, at most 0.75.

    Rough: clouds are told by a small swing, and so is wind, the sea (0.19 suits a coast) or a wet day.

    References
    ----------
    Hargreaves, G. H. & Samani, Z. A. (1982), Estimating potential evapotranspiration, Journal of the
    Irrigation and Drainage Division 108, 225-230, in the form of FAO-56, equation 50 (read in secondary
    copies).
    """
    return clearness_of(np.asarray(tmax_c, np.float64) - np.asarray(tmin_c, np.float64), per_root_k)


def clearness_of(swing_c: FloatArray, per_root_k: float) -> FloatArray:
    """The same of a day's swing, for arrays and, compiled, for single days."""
    return np.minimum(per_root_k * np.sqrt(np.maximum(swing_c, 0.0)), CLEAREST)


def beam_and_sky(
    clear: FloatArray, outer_mj: FloatArray, clear_mj: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Share of a clear sky's beam, and MJ from the whole sky, for arrays and, compiled, for single days.

    `outer_mj` is the sun above the air, `clear_mj` a clear sky's beam, both MJ per square metre and day.
    """
    level_mj = clear * outer_mj
    diffuse = level_mj * np.minimum(np.maximum(1.0 - 1.13 * clear, 0.1), 1.0)
    return np.minimum((level_mj - diffuse) / np.maximum(clear_mj, 1e-9), 1.0), diffuse


class Irradiance(NamedTuple):
    """W per square metre, each shape (..., days, 24)."""

    side: FloatArray  # mean round a standing cylinder
    top: FloatArray  # on the level


@dataclass(frozen=True, slots=True, eq=False)
class SunCourse:
    """What hangs on latitude and calendar alone."""

    outer_mj: FloatArray  # above the air, MJ per square metre and day, shape (days,)
    clear_mj: FloatArray  # a clear sky's beam on the level, likewise
    clear_w: FloatArray  # a clear sky's beam, W per square metre across it, shape (days, 24)
    sky_w_mj: FloatArray  # W per square metre of the level for each MJ a day, shape (days, 24)
    sine: FloatArray  # of the sun's height, 0 below the horizon, shape (days, 24)

    def on(self, side: float, top: float) -> tuple[FloatArray, FloatArray]:
        """So much of the light on the side and so much of that on the top: W per square metre, (days, 24).

        Of a whole beam, and of a MJ from the sky. The beam meets the side by the height's cosine over pi,
        round the whole of it; half the sky and half the ground are seen from it.
        """
        cosine = np.where(self.sine > 0.0, np.sqrt(1.0 - np.minimum(self.sine, 1.0) ** 2), 0.0)
        by_beam = side * (cosine / np.pi + GROUND / 2.0 * self.sine) + top * self.sine
        by_sky = side * (0.5 + GROUND / 2.0) + top
        return self.clear_w * by_beam, self.sky_w_mj * by_sky


@dataclass(frozen=True, slots=True, eq=False)
class Sunlight:
    """Sunlight of days in two parts, each a number a day times a course through the day's hours."""

    beam: FloatArray  # share of a clear sky's beam, shape (..., days)
    diffuse: FloatArray  # MJ per square metre and day, shape (..., days)
    course: SunCourse

    def on(self, side: float, top: float) -> FloatArray:
        """So much of the light on the side and so much of that on the top, added up.

        W per square metre, shape (..., days, 24).
        """
        by_beam, by_sky = self.course.on(side, top)
        light = self.beam[..., None] * by_beam
        light += self.diffuse[..., None] * by_sky
        return light

    def irradiance(self) -> Irradiance:
        """On the side, and on the level."""
        return Irradiance(self.on(1.0, 0.0), self.on(0.0, 1.0))


def sun_course(latitude_deg: float, day_of_year: ArrayLike) -> SunCourse:
    """Of days, shape (days,); see `sunlight`."""
    sine = np.maximum(sine_of_height(latitude_deg, day_of_year), 0.0)
    airs = 1.0 / np.maximum(sine, 0.02)
    clear_w = np.where(sine > 0.0, SUN_W_M2 * 0.7 ** (airs**0.678), 0.0)
    clear_mj = (clear_w * sine).sum(axis=-1) * SECONDS / 1e6
    sky_w_mj = sine / np.maximum(sine.sum(axis=-1, keepdims=True), 1e-9) * 1e6 / SECONDS
    outer_mj = extraterrestrial_radiation_mj(latitude_deg, day_of_year)
    return SunCourse(outer_mj, clear_mj, clear_w, sky_w_mj, sine)


def sunlight(
    tmin_c: ArrayLike,
    tmax_c: ArrayLike,
    latitude_deg: float,
    day_of_year: ArrayLike,
    per_root_k: float = INLAND,
) -> Sunlight:
    """Sunlight of each day in the open, from its swing of temperature.

    A share ``1 - 1.13 K`` of a day as clear as K comes from the whole sky (Page 1961), the rest as a beam,
    through the day as under a clear sky, ``1353 W * 0.7 ** (m ** 0.678)`` through m airs (Meinel & Meinel
    1976), and never more than that. Both from memory.

    Parameters
    ----------
    tmin_c, tmax_c : degC, shape (..., days).
    latitude_deg, day_of_year : as for `extraterrestrial_radiation_mj`; the days have shape (days,).
    per_root_k : see `clearness`.
    """
    course = sun_course(latitude_deg, day_of_year)
    clear = clearness(tmin_c, tmax_c, per_root_k)
    return Sunlight(*beam_and_sky(clear, course.outer_mj, course.clear_mj), course)


def sine_of_height(latitude_deg: float, day_of_year: ArrayLike) -> FloatArray:
    """Sine of the sun's height above the horizon at hours 0 to 23, noon at 12, with FAO-56's declination.

    Shape (days, 24); negative at night.
    """
    turn = 2.0 * np.pi * np.asarray(day_of_year, np.float64) / 365.0
    declination = (0.409 * np.sin(turn - 1.39))[..., None]
    latitude = np.radians(latitude_deg)
    across = np.cos(latitude) * np.cos(declination) * np.cos(np.pi / 12.0 * (HOURS - 12.0))
    return np.asarray(np.sin(latitude) * np.sin(declination) + across)
