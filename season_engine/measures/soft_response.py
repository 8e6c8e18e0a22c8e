"""Heat that a tree wants the more of, the less chill it had: chill by degrees, not met or unmet."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def heat_needed_after_chill(
    chill: ArrayLike, least: float, more_without_chill: float, softening: float
) -> FloatArray:
    """Heat a tree still wants after so much chill: ``least + more_without_chill * exp(-softening * chill)``.

    The softer the winter, the more heat; no amount of chill is the one that counts as enough.

    Parameters
    ----------
    chill : chill so far, any unit and shape.
    least, more_without_chill : heat that even full chill leaves, and what comes on top without any.
    softening : per unit of chill.

    References
    ----------
    Form of Murray, M. B., Cannell, M. G. R. & Smith, R. I. (1989), Date of budburst of fifteen tree species
    in Britain following climatic warming, Journal of Applied Ecology 26, 693-700 (read as an abstract), after
    Cannell & Smith (1983), Thermal time, chill days and prediction of budburst in Picea sitchensis.
    """
    need: FloatArray = least + more_without_chill * np.exp(-softening * np.asarray(chill, np.float64))
    return need
