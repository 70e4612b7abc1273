"""Three-phase quantities as complex numbers."""

import cmath
import math


def lines_v(*, nominal_v: float, phases_count: int) -> tuple[complex, ...]:
    """Line voltages to the source's star point, L1 at 0 degrees and each next one 120 degrees behind.

    Raises ValueError unless there are one or three phases.
    """
    if phases_count not in (1, 3):
        raise ValueError(f"a supply here has one or three phases, but {phases_count} were given")
    return tuple(cmath.rect(nominal_v, -2 * math.pi / 3 * phase) for phase in range(phases_count))
