"""From single saddles to patches of a chequerboard: neighbours joined along edges that are seen to run from one to the other."""

from collections import deque
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array, Whole
from calibration.saddles import Picture, Saddles

NEAREST = 24
AIM_RAD = np.radians(14.0)  # how far a neighbour may lie beside the edge's own direction
BACK_RAD = np.radians(24.0)
STEPS: tuple[tuple[int, int], ...] = ((0, 1), (1, 0), (0, -1), (-1, 0))  # (row, column) towards edge 0, 1, 2, 3 (rising angle, y down)
ALONG = np.linspace(0.2, 0.8, 5)
SMALLEST_PATCH = 9
SAME_STEP = 0.3  # perspective and lens change a square by a few percent from one to the next; another board's squares by more


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """A connected piece of a board. `nodes` (rows, columns): index of the saddle there, -1 for none."""

    nodes: Whole


def _turned(angle: Array) -> Array:
    return (angle + np.pi) % (2.0 * np.pi) - np.pi


def _bright_after(saddles: Saddles) -> NDArray[np.bool_]:
    """(N, 4): the sector that follows edge k (rising angle) is bright."""
    flip = np.arange(4) % 2 == 1
    return np.asarray(saddles.first_bright[:, None] ^ flip[None, :], dtype=np.bool_)


def neighbours(picture: Picture, saddles: Saddles) -> tuple[Whole, Whole]:
    """((N, 4) saddle reached along each edge or -1, (N, 4) the edge by which it looks back)."""
    from scipy.spatial import cKDTree

    count = len(saddles)
    if count < 2:
        return np.full((count, 4), -1), np.full((count, 4), -1)
    distance, other = cKDTree(saddles.at).query(saddles.at, k=min(NEAREST + 1, count))
    distance, other = distance[:, 1:], other[:, 1:]
    way = saddles.at[other] - saddles.at[:, None]
    angle = np.arctan2(way[..., 1], way[..., 0])
    aimed = np.abs(_turned(angle[:, None, :] - saddles.edges[:, :, None])) < AIM_RAD  # (N, 4, K)
    back = np.abs(_turned(angle[:, :, None] + np.pi - saddles.edges[other]))  # (N, K, 4)
    back_edge = back.argmin(axis=2)
    looks_back = back.min(axis=2) < BACK_RAD
    bright = _bright_after(saddles)
    agrees = bright[:, :, None] != bright[other, back_edge][:, None, :]
    likely = aimed & looks_back[:, None, :] & agrees & (distance > 4.0)[:, None, :]
    who, edge, slot = np.nonzero(likely)
    seen = _edge_seen(picture, saddles, who, other[who, slot], bright[who, edge])
    likely[who[~seen], edge[~seen], slot[~seen]] = False
    first = likely.argmax(axis=2)  # K is sorted by distance: the nearest that fits
    has = likely.any(axis=2)
    row = np.arange(count)[:, None]
    return np.where(has, other[row, first], -1), np.where(has, back_edge[row, first], -1)


def _edge_seen(picture: Picture, saddles: Saddles, a: Whole, b: Whole, bright_after: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The bright and the dark side keep their sides all the way from a to b."""
    import cv2

    start, way = saddles.at[a], saddles.at[b] - saddles.at[a]
    across = np.column_stack([-way[:, 1], way[:, 0]]) * 0.13  # a quarter turn to rising angles
    on = start[:, None] + way[:, None] * ALONG[None, :, None]
    sides = []
    for sign in (1.0, -1.0):
        at = (on + sign * across[:, None]).astype(np.float32)
        sides.append(cv2.remap(picture, at[..., 0], at[..., 1], cv2.INTER_LINEAR) if len(at) else np.zeros((0, len(ALONG))))
    step = (sides[0] - sides[1]) * np.where(bright_after, 1.0, -1.0)[:, None]
    scale = 0.5 * (saddles.contrast[a] + saddles.contrast[b])
    return np.asarray(np.sort(step, axis=1)[:, 1] > 0.25 * scale)


def patches_of(picture: Picture, saddles: Saddles) -> list[Patch]:
    """Connected pieces, largest first."""
    to, back = neighbours(picture, saddles)
    turn = np.full(len(saddles), -1)
    place = np.zeros((len(saddles), 2), dtype=np.int64)
    found = []
    for seed in range(len(saddles)):
        if turn[seed] < 0:
            members = _grown(seed, saddles.at, to, back, turn, place)
            if len(members) >= SMALLEST_PATCH:
                found.append(_patch(members, place))
    return sorted(found, key=lambda patch: -int((patch.nodes >= 0).sum()))


def _grown(seed: int, at: Array, to: Whole, back: Whole, turn: Whole, place: Whole) -> list[int]:
    """Walk from saddle to saddle; a join counts when both see each other and it is as long as the step before it, in its direction.

    The first saddle on a place keeps it.
    """
    turn[seed], place[seed] = 0, (0, 0)
    taken, members, waiting = {(0, 0)}, [seed], deque([seed])
    steps: dict[tuple[int, int], Array] = {}  # (saddle, 0 across or 1 down): step to the next column or row
    while waiting:
        here = waiting.popleft()
        for edge in range(4):
            there = int(to[here, edge])
            if there < 0 or turn[there] >= 0:
                continue
            looking = int(back[here, edge])
            if to[there, looking] != here:
                continue
            heading = (edge + int(turn[here])) % 4
            spot = (int(place[here, 0]) + STEPS[heading][0], int(place[here, 1]) + STEPS[heading][1])
            axis, sign = heading % 2, 1.0 if heading < 2 else -1.0
            step = sign * (at[there] - at[here])
            known = steps.get((here, axis))
            if spot in taken or (known is not None and np.hypot(*(step - known)) > SAME_STEP * np.hypot(*known)):
                continue
            if known is None:
                steps[here, axis] = step
            turn[there] = (heading + 2 - looking) % 4
            place[there] = spot
            steps[there, axis] = step
            if (here, 1 - axis) in steps:
                steps[there, 1 - axis] = steps[here, 1 - axis]
            taken.add(spot)
            members.append(there)
            waiting.append(there)
    return members


def _patch(members: list[int], place: Whole) -> Patch:
    spots = place[members]
    low = spots.min(axis=0)
    nodes = np.full(tuple(spots.max(axis=0) - low + 1), -1, dtype=np.int64)
    nodes[spots[:, 0] - low[0], spots[:, 1] - low[1]] = members
    return Patch(nodes)


def squares_of(nodes: Whole) -> tuple[NDArray[np.bool_], Whole]:
    """((rows - 1, columns - 1) whether all four corners of a square are known, (M, 2, 2) those corners' saddles, of the known ones)."""
    quads = np.stack([[nodes[:-1, :-1], nodes[:-1, 1:]], [nodes[1:, :-1], nodes[1:, 1:]]])
    known = np.asarray((quads >= 0).all(axis=(0, 1)), dtype=np.bool_)
    return known, np.moveaxis(quads[:, :, known], 2, 0)


def sampled(picture: Picture, corners: Array, shares: Array) -> Array:
    """(M, P) brightness in M squares, corners (M, 2, 2, 2) by row and column, at P places told in shares of the sides (x, y)."""
    import cv2

    x, y = shares[:, 0][None, :, None], shares[:, 1][None, :, None]
    c00, c01, c10, c11 = (corners[:, row, column][:, None] for row, column in ((0, 0), (0, 1), (1, 0), (1, 1)))
    at = ((c00 * (1 - x) + c01 * x) * (1 - y) + (c10 * (1 - x) + c11 * x) * y).astype(np.float32)
    return np.asarray(cv2.remap(picture, at[..., 0], at[..., 1], cv2.INTER_LINEAR), dtype=np.float64)
