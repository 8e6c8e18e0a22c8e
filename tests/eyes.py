"""Pictures as other eyes and other paper see them."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

# Machado, Oliveira and Fernandes (2009), IEEE Transactions on Visualization and Computer Graphics 15,
# 1291-1298: their matrices for the whole loss of one kind of cone, on linear light, red to blue. From memory;
# each row sums to one, so greys stay as they are, which a test holds them to.
LOSSES: Mapping[str, FloatArray] = {
    "protanopia": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "deuteranopia": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "tritanopia": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}
# Relative luminance: WCAG 2.1 (W3C, 2018), definition "relative luminance"; from memory.
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])


def linear(colours: ArrayLike) -> FloatArray:
    """Light of sRGB colours from 0 to 255, shape (..., 3), as IEC 61966-2-1 has it (from memory)."""
    share = np.asarray(colours, np.float64) / 255
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def _srgb(light: FloatArray) -> NDArray[np.uint8]:
    light = np.clip(light, 0, 1)
    share = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.round(share * 255).astype(np.uint8)


def seen_with(loss: str, colours: ArrayLike) -> NDArray[np.uint8]:
    """Colours, shape (..., 3), as an eye with such a loss sees them; "grey" as printed in black."""
    light = linear(colours)
    if loss == "grey":
        return _srgb(np.repeat((light @ LUMINANCE)[..., None], 3, axis=-1))
    return _srgb(light @ LOSSES[loss].T)


def contrast(one: ArrayLike, other: ArrayLike) -> FloatArray:
    """Contrast ratio of two colours, from 1 to 21: WCAG 2.1, definition "contrast ratio"; from memory."""
    first, second = linear(one) @ LUMINANCE + 0.05, linear(other) @ LUMINANCE + 0.05
    return np.asarray(np.maximum(first, second) / np.minimum(first, second))
