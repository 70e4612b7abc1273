"""How long the drum plan of 40 jobs takes, as a share of five seconds, with its optimality gap and the waste it saves.

Lengths are drawn by a seeded hand: 6 to 45 m, to 10 mm, of one kind of cable; from drums of 25, 50 and 100 m, and of
100 m alone.
"""

from __future__ import annotations

import os
import random
import time
from itertools import product

from ampwright.assess.materials.drums import Length, Stock, plan_drums

JOBS_COUNT, ALLOWED_S, SEEDS = 40, 5.0, (1, 2, 3)


def main() -> None:
    """Print a line for each set of jobs."""
    print(f"load {os.getloadavg()[0]:.1f}")
    for seed, drums_m in product(SEEDS, ((25, 50, 100), (100,))):
        dice = random.Random(seed)
        cuts = [Length(f"job {number}", round(dice.uniform(6, 45), 2)) for number in range(JOBS_COUNT)]
        start = time.perf_counter()
        plan = plan_drums(cuts, [Stock(each) for each in drums_m])
        took_s = time.perf_counter() - start
        cut_m = sum(cut.length_m for cut in cuts)
        print(f"{JOBS_COUNT} jobs, {cut_m:.0f} m from {drums_m}: {took_s:.2f} s = {took_s / ALLOWED_S:.2f} of 5 s; gap "
              f"{plan.gap_percent:.2f} %; {plan.bought_m:g} m bought, {plan.in_order_m:g} m without a plan: "
              f"waste {plan.bought_m - cut_m:.0f} m against {plan.in_order_m - cut_m:.0f} m")  # fmt: skip


if __name__ == "__main__":
    main()
