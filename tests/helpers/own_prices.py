"""A catalogue and a price book of one's own: those shipped, with one price and one name of ours."""

from __future__ import annotations

from importlib import resources

CHANGES = {"catalogue": ('set to work",,,52000,', 'set to work",,,9052000,'),
           "price_book": ("decorating and making good", "a book of our own")}  # fmt: skip


def own_text(name: str) -> str:
    """The text of `catalogue` or `price_book`."""
    shipped = resources.files("ampwright.assess").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    was, own = CHANGES[name]
    if was not in shipped:
        raise AssertionError(f"{name}.csv has no {was}")
    return shipped.replace(was, own)


def own_prices() -> dict[str, str]:
    """The texts as issuing takes them."""
    return {"catalogue": own_text("catalogue"), "prices": own_text("price_book")}
