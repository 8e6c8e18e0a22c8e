"""What a map may show."""

from __future__ import annotations

from typing import Literal, get_args

What = Literal["opens", "usual", "early-late", "monday", "chance"]
WHATS: tuple[What, ...] = get_args(What)
