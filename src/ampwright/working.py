"""The arithmetic as an electrician would write it, marked as it is written.

A rule puts its givens and facts on a `Working`, then each step as it would stand on paper. The sheet
evaluates the printed equation from the symbols already on it and raises `WorkingError` if the code
disagrees, so that print and code cannot drift apart.
"""

from __future__ import annotations

import ast
import csv
import datetime
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum, StrEnum
from functools import lru_cache
from importlib import resources
from types import CodeType

AGREEMENT = 1e-9
Put = tuple[tuple[str, float], ...]
_INDEXED = re.compile(r"^(\w+?)_(\d+)$")
# tan and cos take degrees, as an electrician's calculator does.
_FUNCTIONS: dict[str, Callable[..., float]] = {
    "sqrt": math.sqrt,
    "ln": math.log,
    "exp": math.exp,
    "min": min,
    "max": max,
    "ceil": math.ceil,
    "floor": math.floor,
    "hypot": math.hypot,
    "tan": lambda deg: math.tan(math.radians(deg)),
    "cos": lambda deg: math.cos(math.radians(deg)),
}
_CONSTANTS = {"pi": math.pi}
_ALLOWED_NODES = (
    ast.Expression, ast.BinOp, ast.UnaryOp, ast.Call, ast.Name, ast.Load, ast.Constant,
    ast.Add, ast.Sub, ast.Mult, ast.Div, ast.Pow, ast.USub,
)  # fmt: skip


class WorkingError(ValueError):
    """The sheet and the code disagree, or a symbol is not in the nomenclature. A fault of ours."""


class Trust(StrEnum):
    """How a published number was seen. Weakest last."""

    PRINTED = "printed"
    REPRINTED = "reprinted"
    DERIVED = "derived"
    MEMORY = "memory"

    @property
    def rank(self) -> int:
        """0 for the strongest, rising as trust falls."""
        return list(Trust).index(self)


class Verdict(Enum):
    """The five answers a check can give."""

    MET = "met"
    NOT_MET = "not met"
    NOT_YET_KNOWN = "not yet known"
    DOES_NOT_APPLY = "does not apply"
    FOR_THE_DESIGNER = "for the designer to judge"


@dataclass(frozen=True, slots=True)
class Fact:
    """One published number, with the table row that it stands in and how it was seen."""

    value: float
    table: str
    column: str
    row: str
    source: str
    where: str
    trust: Trust


@dataclass(frozen=True, slots=True)
class Symbol:
    """One printed symbol: its one unit and its one meaning."""

    name: str
    unit: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Step:
    """One line of working. A line without a symbol is a remark in words, kept in `formula`.

    `put` are the numbers that stood for the names in the formula.
    """

    symbol: str
    value: float | None
    unit: str
    formula: str
    source: str
    trust: Trust | None
    under: str
    row: str = ""
    put: Put = ()

    @property
    def filled(self) -> str:
        """The formula with its numbers in it; empty where there is nothing to fill in."""
        values = dict(self.put)

        def number(name: re.Match[str]) -> str:
            value = values.get(name.group())
            if value is None:
                return name.group()
            return f"({shown(value)})" if value < 0 else shown(value)

        return re.sub(r"\b[A-Za-z]\w*\b", number, self.formula) if self.symbol else ""


@dataclass(frozen=True, slots=True)
class Check:
    """A question answered: the clause, the verdict, one sentence, what is missing, and the working."""

    rule: str
    clause: str
    edition: str
    asks: str
    verdict: Verdict
    says: str
    needs: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    working: tuple[Step, ...] = ()
    clause_trust: Trust = Trust.MEMORY

    @property
    def trust(self) -> Trust:
        """The weakest of the numbers used and of the clause."""
        used = [step.trust for step in self.working if step.trust is not None]
        return max((*used, self.clause_trust), key=lambda each: each.rank)


@lru_cache(maxsize=1)
def nomenclature() -> dict[str, Symbol]:
    """Every symbol that may be printed, by name, from symbols.csv."""
    text = resources.files("ampwright").joinpath("symbols.csv").read_text(encoding="utf-8")
    return {row["symbol"]: Symbol(row["symbol"], row["unit"], row["meaning"])
            for row in csv.DictReader(text.splitlines())}  # fmt: skip


@lru_cache(maxsize=4096)
def symbol_for(name: str) -> Symbol:
    """The nomenclature's entry for a printed name; `Zs_2` is the second `Zs`.

    Raises WorkingError for a symbol that symbols.csv does not have.
    """
    base = _INDEXED.match(name)
    known = nomenclature().get(base.group(1) if base else name)
    if known is None:
        raise WorkingError(f"the symbol {name!r} is not in symbols.csv")
    return known


def shown(value: float) -> str:
    """A number as written on paper: four significant figures, never an exponent, no trailing zeros."""
    if value == 0 or not math.isfinite(value):
        return f"{value:g}"
    decimals = max(0, 3 - math.floor(math.log10(abs(value))))
    text = f"{value:.{min(decimals, 9)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def up(value: float, decimals_count: int = 2) -> str:
    """A number in words, never below the number itself: 1.371 is 1.38, so that a sentence cannot flatter."""
    step = 10**decimals_count
    return f"{math.ceil(value * step - 1e-9) / step:.{decimals_count}f}"


def down(value: float, decimals_count: int = 2) -> str:
    """A limit in words, never above the limit itself."""
    step = 10**decimals_count
    return f"{math.floor(value * step + 1e-9) / step:.{decimals_count}f}"


def capital(words: str) -> str:
    """The same words with their first letter large, as a sentence begins."""
    return words[:1].upper() + words[1:]


def written_day(day: datetime.date) -> str:
    """A day as 4 May 2027."""
    return f"{day.day} {day:%B %Y}"


@lru_cache(maxsize=8192)
def _compiled(expression: str) -> CodeType:
    tree = ast.parse(expression, mode="eval")
    for node in ast.walk(tree):
        if not isinstance(node, _ALLOWED_NODES):
            raise WorkingError(f"{expression!r} is not plain arithmetic ({type(node).__name__})")
    return compile(tree, "<working>", "eval")


class Working:
    """A sheet of working: givens, published facts, steps and remarks, in the order written."""

    def __init__(self) -> None:
        self._steps: list[Step] = []
        self._values: dict[str, float] = {}
        self._under = ""

    @property
    def steps(self) -> tuple[Step, ...]:
        """All lines so far."""
        return tuple(self._steps)

    def heading(self, text: str) -> None:
        """Lines that follow stand under this heading."""
        self._under = text

    def remark(self, text: str) -> None:
        """A line in words."""
        self._steps.append(Step("", None, "", text, "", None, self._under))

    def given(self, symbol: str, value: float, basis: str = "the job") -> float:
        """A number from the job (or a stated assumption); `basis` says where it comes from."""
        self._put(symbol, value, source=basis)
        return value

    def fact(self, symbol: str, fact: Fact) -> float:
        """A published number with its provenance."""
        row = f"{fact.table}: {fact.column} ({fact.row})"
        self._put(symbol, fact.value, source=fact.where, trust=fact.trust, row=row)
        return fact.value

    def step(self, equation: str, value: float) -> float:
        """Write `symbol = expression` and mark it against `value`, which the code computed.

        Raises WorkingError if the two differ by more than 1e-9 (relative), or if a symbol is unknown.
        """
        symbol, _, expression = (part.strip() for part in equation.partition("="))
        on_paper = self._evaluate(expression)
        if not math.isclose(on_paper, value, rel_tol=AGREEMENT, abs_tol=1e-12):
            raise WorkingError(f"{equation}: the print gives {on_paper!r} and the code {value!r}")
        names = _compiled(expression).co_names
        put = tuple((name, self._values[name]) for name in names if name in self._values)
        self._put(symbol, value, formula=expression, put=put)
        return value

    def _evaluate(self, expression: str) -> float:
        names = {**_FUNCTIONS, **_CONSTANTS, **self._values}
        try:
            return float(eval(_compiled(expression), {"__builtins__": {}}, names))
        except NameError as missing:
            raise WorkingError(f"{expression!r}: {missing.name} is not on the sheet yet") from missing

    def _put(self, symbol: str, value: float, *, formula: str = "", source: str = "", trust: Trust | None = None,
             row: str = "", put: Put = ()) -> None:  # fmt: skip
        unit = symbol_for(symbol).unit
        self._values[symbol] = value
        self._steps.append(Step(symbol, value, unit, formula, source, trust, self._under, row, put))
