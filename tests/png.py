"""PNG pictures as arrays and back, enough of it for pictures this project draws."""

from __future__ import annotations

import struct
import zlib

import numpy as np
from numpy.typing import NDArray

HEAD = b"\x89PNG\r\n\x1a\n"
CHANNELS = {2: 3, 6: 4}


def pixels(png: bytes) -> NDArray[np.uint8]:
    """Red, green, blue of each pixel, shape (rows, columns, 3), of an opaque picture with 8 bits a channel.

    Chunks and the five filters: Portable Network Graphics specification, 5 and 9 (from memory).
    """
    assert png.startswith(HEAD)
    place, packed = len(HEAD), b""
    while place < len(png):
        length, kind = struct.unpack(">I4s", png[place : place + 8])
        body = png[place + 8 : place + 8 + length]
        assert struct.unpack(">I", png[place + 8 + length : place + 12 + length])[0] == zlib.crc32(
            kind + body
        )
        if kind == b"IHDR":
            width, height, bits, colour, *_, interlaced = struct.unpack(">IIBBBBB", body)
            assert (bits, interlaced) == (8, 0)
            channels = CHANNELS[colour]
        packed += body if kind == b"IDAT" else b""
        place += 12 + length
    lines = np.frombuffer(zlib.decompress(packed), np.uint8).reshape(height, 1 + width * channels)
    picture = np.zeros((height, width * channels), np.uint8)
    above = np.zeros(width * channels, np.uint8)
    for row, (kind, *line) in enumerate(lines.tolist()):
        above = picture[row] = _unfiltered(kind, line, above, channels)
    shaped = picture.reshape(height, width, channels)
    assert channels == 3 or (shaped[..., 3] == 255).all()
    return shaped[..., :3]


def _unfiltered(kind: int, line: list[int], above: NDArray[np.uint8], step: int) -> NDArray[np.uint8]:
    if kind == 0:
        return np.array(line, np.uint8)
    if kind == 2:
        return (np.array(line, np.uint8) + above).astype(np.uint8)
    up = above.tolist()
    out = [0] * len(line)
    for n, value in enumerate(line):
        left, corner = (out[n - step], up[n - step]) if n >= step else (0, 0)
        guess = left if kind == 1 else (left + up[n]) // 2 if kind == 3 else _paeth(left, up[n], corner)
        out[n] = (value + guess) & 255
    return np.array(out, np.uint8)


def _paeth(left: int, up: int, corner: int) -> int:
    guess = left + up - corner
    near_left, near_up, near_corner = abs(guess - left), abs(guess - up), abs(guess - corner)
    if near_left <= near_up and near_left <= near_corner:
        return left
    return up if near_up <= near_corner else corner


def png_of(picture: NDArray[np.uint8]) -> bytes:
    """A picture, shape (rows, columns, 3), as PNG."""
    height, width, _ = picture.shape
    raw = b"".join(b"\0" + line.tobytes() for line in np.ascontiguousarray(picture, np.uint8))
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return HEAD + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in ((b"IHDR", head), (b"IDAT", zlib.compress(raw)), (b"IEND", b""))
    )
