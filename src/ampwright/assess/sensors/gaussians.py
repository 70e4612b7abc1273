"""Many small Gaussian log densities at once, over stacks of covariances."""

from __future__ import annotations

import math

import numpy as np

from ampwright.assess.sensors.house_model import Floats

LOG_2PI = math.log(2 * math.pi)


def log_density(off: Floats, cov: Floats) -> Floats:
    """log N(off; 0, cov) for a stack: `off` (n, ...) and `cov` (n, n, ...), positive definite; n stands first.

    Cholesky and forward substitution unrolled over n, which is small; every step runs over the whole stack at once.
    """
    count = len(off)
    total = np.full(off.shape[1:], -0.5 * count * LOG_2PI)
    root: list[list[Floats]] = []
    solved: list[Floats] = []
    for row in range(count):
        line: list[Floats] = []
        for column in range(row):
            mixed = cov[row, column] - sum(line[k] * root[column][k] for k in range(column))
            line.append(mixed / root[column][column])
        pivot = np.sqrt(cov[row, row] - sum(each * each for each in line))
        solved.append((off[row] - sum(each * done for each, done in zip(line, solved, strict=True))) / pivot)
        root.append([*line, pivot])
        total -= np.log(pivot) + 0.5 * solved[row] ** 2
    return total


def log_sum(log_weights: Floats) -> float:
    """log of the sum of exponentials, without overflow."""
    top = float(log_weights.max())
    return top + math.log(float(np.exp(log_weights - top).sum()))
