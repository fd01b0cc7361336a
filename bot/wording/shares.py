"""Shares in words: per cent without false exactness, a range as "88 to 90 %"."""

from __future__ import annotations


def say_share(low: float, high: float | None = None) -> str:
    """Say a share of 0 to 1, or a range of it, in per cent: "88 %", "88 to 90 %"; never 0 or 100 for what is not quite."""
    ends = [_per_cent(100 * low), _per_cent(100 * (low if high is None else high))]
    return f"{ends[0]} %" if ends[0] == ends[1] else f"{ends[0]} to {ends[1]} %"


def _per_cent(value: float) -> str:
    """One decimal under 10 and where it would else round to 100."""
    if value < 10 or 99.5 <= value < 100 - 1e-9:
        if 0 < value < 0.05:
            return "under 0.1"
        return "over 99.9" if 99.95 <= value < 100 - 1e-9 else f"{value:.1f}".removesuffix(".0")
    return f"{value:.0f}"
