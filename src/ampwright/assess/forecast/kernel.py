"""The year kernel twice from one source: plain Python on lists, or compiled by numba where it is installed."""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from types import FunctionType
from typing import Any

import numpy as np

from ampwright.physics import minute

Array = np.ndarray[Any, Any]


@dataclass(frozen=True, slots=True)
class Kernel:
    """The two loops of physics/minute.py and whether they are compiled."""

    charge: Callable[..., tuple[float, int, int]]
    store: Callable[..., float]
    compiled: bool

    def call(self, loop: Callable[..., Any], given: dict[str, Any], written: tuple[str, ...]) -> Any:
        """Run a loop on arrays; those named in `written` are filled. Plain Python runs on lists, which are quicker."""
        if self.compiled:
            return loop(**given)
        lists = {name: each.tolist() if isinstance(each, np.ndarray) else each for name, each in given.items()}
        result = loop(**lists)
        for name in written:
            given[name][:] = lists[name]
        return result


def plain() -> Kernel:
    """The kernel as written."""
    return Kernel(minute.charge_year, minute.store_year, compiled=False)


@lru_cache(maxsize=1)
def compiled() -> Kernel:
    """The same source compiled. Raises ModuleNotFoundError where numba is not installed."""
    import numba

    spec = importlib.util.spec_from_file_location(f"{minute.__name__}_compiled", minute.__file__)
    if spec is None or spec.loader is None:
        raise ModuleNotFoundError(minute.__name__)
    twin = importlib.util.module_from_spec(spec)
    sys.modules[twin.__name__] = twin
    spec.loader.exec_module(twin)
    for name, each in list(vars(twin).items()):
        if isinstance(each, FunctionType) and each.__module__ == twin.__name__:
            setattr(twin, name, numba.njit(nogil=True, error_model="numpy")(each))
    return Kernel(twin.charge_year, twin.store_year, compiled=True)


def quickest() -> Kernel:
    """Compiled where numba is installed (the extra `fast`), else plain."""
    return compiled() if importlib.util.find_spec("numba") else plain()
