"""One symbol, one unit, one meaning; and none that nobody prints."""

import csv
import re

from source import SRC, modules

ROWS = list(csv.DictReader((SRC / "symbols.csv").read_text(encoding="utf-8").splitlines()))


def test_every_symbol_stands_once_and_says_what_it_means():
    names = [row["symbol"] for row in ROWS]
    assert len(set(names)) == len(names)
    assert all(row["unit"] and row["meaning"] for row in ROWS)


def test_every_symbol_is_used():
    printing = (*modules(SRC / "rules"), *modules(SRC / "assess"))
    text = "\n".join(path.read_text(encoding="utf-8") for path in printing)
    unused = [row["symbol"] for row in ROWS if not re.search(rf'["\' (]{row["symbol"]}\b|\b{row["symbol"]}_', text)]
    assert unused == []
