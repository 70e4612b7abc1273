"""Addresses under /api where nothing is, and methods that an address does not take."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from starlette.types import Receive, Scope, Send

from ampwright.deliver.web.api.problems import Refused


class Nothing:
    """Answers whatever no other address of the API does, whatever the method."""

    def __init__(self, document: Callable[[], dict[str, Any]]) -> None:
        self._document = document

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Say that nothing is here, or which methods would be taken."""
        methods = self._taken(scope["path"])
        if methods:
            allowed = ", ".join(methods)
            refused = Refused("wrong-method", f"this address takes {allowed}", headers={"Allow": allowed})
        else:
            refused = Refused("nothing-here")
        await refused.answer()(scope, receive, send)

    def _taken(self, path: str) -> list[str]:
        for template, told in self._document()["paths"].items():
            if re.fullmatch(re.sub(r"\{\w+\}", "[^/]+", template), path):
                return sorted(name.upper() for name in told)
        return []
