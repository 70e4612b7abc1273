"""Many small Gaussian log densities at once, over stacks of covariances."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from ampwright.assess.sensors.house_model import Floats

LOG_2PI = math.log(2 * math.pi)


def log_densities(shown: Floats, mean: Floats, cov: Sequence[Sequence[Floats]]) -> tuple[Floats, Floats]:
    """log N(shown; mean, cov) and log N(shown; -mean, cov) for a stack: `shown` (n), `mean` (n, ...), and `cov[i][j]`
    (...) for each j up to i, positive definite.

    Cholesky and forward substitution unrolled over n, which is small; every step runs over the whole stack at once.
    """
    count = len(shown)
    total = np.full(mean.shape[1:], -0.5 * count * LOG_2PI)
    across = np.zeros(mean.shape[1:])
    root: list[list[Floats]] = []
    told: list[Floats] = []
    foreseen: list[Floats] = []
    for row in range(count):
        line: list[Floats] = []
        for column in range(row):
            mixed = cov[row][column] - sum(line[k] * root[column][k] for k in range(column))
            line.append(mixed / root[column][column])
        pivot = np.sqrt(cov[row][row] - sum(each * each for each in line))
        for value, solved in ((shown[row], told), (mean[row], foreseen)):
            solved.append((value - sum(each * done for each, done in zip(line, solved, strict=True))) / pivot)
        root.append([*line, pivot])
        total -= np.log(pivot) + 0.5 * (told[row] ** 2 + foreseen[row] ** 2)
        across += told[row] * foreseen[row]
    return total + across, total - across


def log_sum(log_weights: Floats) -> float:
    """log of the sum of exponentials, without overflow."""
    top = float(log_weights.max())
    return top + math.log(float(np.exp(log_weights - top).sum()))
