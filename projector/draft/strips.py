"""Straight strips: gathered frills and tiers, bias binding. Lengths in mm."""

from math import ceil, sqrt

GATHER_RATIO = 1.5
"""Cloth over finished length: 1 1/3 to 1 1/2 (Baldt 1916), 1.5 to 3 today (TRADE figures gathered from sewing pages)."""
BIAS_JOIN_MM = 13.0
"""Lost along a bias strip at each join: a quarter-inch seam on either side. Common practice, no source."""


def gathered_mm(edge_mm: float, ratio: float = GATHER_RATIO) -> float:
    """Length of strip that is gathered onto an edge."""
    return edge_mm * ratio


def strips_needed(edge_mm: float, ratio: float, cloth_width_mm: float) -> int:
    """Whole strips across the cloth for a gathered tier. Source: Baldt 1916, drawers ruffles."""
    return ceil(gathered_mm(edge_mm, ratio) / cloth_width_mm - 1e-9)


def bias_strip_mm(edges_mm: float, overlap_mm: float, longest_mm: float) -> tuple[float, int]:
    """Length of bias strip to cut for binding edges of that length, and in how many strips.

    `longest_mm`: the longest strip the cloth gives at 45 degrees (`longest_bias_mm`). Every join costs 13 mm.
    """
    wanted = edges_mm + overlap_mm
    strips = max(1, ceil((wanted - BIAS_JOIN_MM) / (longest_mm - BIAS_JOIN_MM) - 1e-9))
    return wanted + (strips - 1) * BIAS_JOIN_MM, strips


def longest_bias_mm(cloth_width_mm: float) -> float:
    """Longest strip at 45 degrees that runs from selvedge to selvedge: width times the root of two."""
    return cloth_width_mm * sqrt(2)
