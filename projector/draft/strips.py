"""Straight strips: gathered frills and tiers. Lengths in mm."""

from math import ceil

GATHER_RATIO = 1.5
"""Cloth over finished length: 1 1/3 to 1 1/2 (Baldt 1916), 1.5 to 3 today (TRADE figures gathered from sewing pages)."""


def gathered_mm(edge_mm: float, ratio: float = GATHER_RATIO) -> float:
    """Length of strip that is gathered onto an edge."""
    return edge_mm * ratio


def strips_needed(edge_mm: float, ratio: float, cloth_width_mm: float) -> int:
    """Whole strips across the cloth for a gathered tier. Source: Baldt 1916, drawers ruffles."""
    return ceil(gathered_mm(edge_mm, ratio) / cloth_width_mm - 1e-9)
