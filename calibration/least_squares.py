"""Robust least squares with priors: Gauss-Newton with Levenberg's damping on normal equations, weights renewed at every step.

Fewer than a hundred unknowns and a few thousand residuals: one step is one matrix product.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from calibration.arrays import Array

STEPS = 60
STILL_GAIN = 0.25
"""A promised gain of the sum of squares under this moves nothing by more than half a standard deviation in any direction."""
NO_GAIN = 1e-3
"""… and under this by more than a thirtieth: the bottom is reached."""
MEDIAN_OF_LENGTH = 1.1774
"""Median length of a plane normal error of sd 1."""
ROBUST_AT = 3.0
"""Residuals beyond this many standard deviations pull less and less (Cauchy's loss)."""

Model = Callable[[Array], tuple[Array, Array]]
"""Unknowns to ((N, 2) residuals in standard deviations, (N, 2, n) their derivative)."""


@dataclass(frozen=True, slots=True, eq=False)
class Prior:
    """Independent normal beliefs about the unknowns: mean and sd; sd inf where nothing is believed."""

    mean: Array
    sd: Array


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """Unknowns, the (n, n) normal matrix at the end, residual lengths (N,) in sd, whether the bottom was reached."""

    x: Array
    normal: Array
    lengths: Array
    settled: bool


def _gain_left(normal: Array, pull: Array) -> float:
    """What a whole step from here promises: at the bottom no step goes down, but for rounding, and that is settled too."""
    scale = 1.0 / np.sqrt(np.maximum(np.diag(normal), 1e-12))
    scaled = normal * scale[:, None] * scale[None, :] + 1e-9 * np.eye(len(pull))
    return float((scale * pull) @ np.linalg.solve(scaled, scale * pull))


def _cost(lengths: Array, scale: float) -> Array:
    return scale**2 * np.log1p((lengths / scale) ** 2)


def fit(model: Model, start: Array, prior: Prior, robust_at: float = ROBUST_AT, steps: int = STEPS) -> Fit:
    """Minimise the robust sum of squares plus the priors."""
    trust = np.where(np.isfinite(prior.sd), 1.0 / prior.sd**2, 0.0)
    x, damping, settled = start.copy(), 1e-3, False
    residual, slope = model(x)
    lengths = np.linalg.norm(residual, axis=1)
    cost = float(_cost(lengths, robust_at).sum() + trust @ (x - prior.mean) ** 2)
    normal = np.zeros((len(x), len(x)))
    pull = np.zeros(len(x))
    for _ in range(steps):
        weights = 1.0 / (1.0 + (lengths / robust_at) ** 2)
        flat = slope.reshape(-1, len(x))
        heavy = flat * np.repeat(weights, 2)[:, None]
        normal = heavy.T @ flat + np.diag(trust)
        pull = heavy.T @ residual.ravel() + trust * (x - prior.mean)
        if _gain_left(normal, pull) <= NO_GAIN:
            settled = True
            break
        gain = 0.0
        while damping < 1e12:
            scale = 1.0 / np.sqrt(np.maximum(np.diag(normal), 1e-12))
            scaled = normal * scale[:, None] * scale[None, :] + damping * np.eye(len(x))
            trial = x - scale * np.linalg.solve(scaled, scale * pull)
            trial_residual, trial_slope = model(trial)
            trial_lengths = np.linalg.norm(trial_residual, axis=1)
            trial_cost = float(_cost(trial_lengths, robust_at).sum() + trust @ (trial - prior.mean) ** 2)
            if np.isfinite(trial_cost) and trial_cost <= cost:
                gain, cost, damping = cost - trial_cost, trial_cost, max(damping / 10.0, 1e-9)
                x, residual, slope, lengths = trial, trial_residual, trial_slope, trial_lengths
                break
            damping *= 10.0
        if gain <= 1e-7 * (cost + 1.0):
            settled = damping < 1e12
            break
    if not settled:  # a long flat valley, or the bottom but for rounding: still as good as settled
        settled = _gain_left(normal, pull) <= STILL_GAIN
    return Fit(x, normal, lengths, settled)
