"""The compiled kernel is the plain one, bit for bit, over whole years."""

from typing import Any

import numpy as np
import pytest
from homes import random_home, stand_in_sun

from ampwright.assess.forecast import account, kernel, years
from ampwright.assess.forecast.plan import changed

pytest.importorskip("numba", reason="the extra `fast` is not installed: the compiled twin is NOT tested")


@pytest.mark.parametrize("number", range(3))
@pytest.mark.parametrize("way", account.CODES)
def test_both_give_the_same_bits(number, way):
    setting = years.Setting(random_home(number), 3, stand_in_sun)
    year = years.drawn(setting, number)
    plan = changed(year.plan, lag_kind=number, cap_a=60.0, phases=1 + 2 * (number == 1), supply_phases=3,
                   switches=number == 1, store_kwh=4.0 * number, store_feeds_car=True)  # fmt: skip
    both = [account.run(account.CODES[way], plan, year.stays, year.home, year.lag_min, each)
            for each in (kernel.plain(), kernel.compiled())]  # fmt: skip
    (plain_kw, plain), (quick_kw, quick) = both
    assert plain_kw.tobytes() == quick_kw.tobytes()
    assert plain.monthly.tobytes() == quick.monthly.tobytes()
    assert (plain.starts_count, plain.held_min, plain.gained_ratio) == (
        quick.starts_count, quick.held_min, quick.gained_ratio)  # fmt: skip
    assert np.any(plain_kw > 0)


def test_the_twin_is_made_of_the_same_source():
    twin: Any = kernel.compiled().charge
    plain: Any = kernel.plain().charge
    assert twin.py_func.__code__.co_filename == plain.__code__.co_filename
