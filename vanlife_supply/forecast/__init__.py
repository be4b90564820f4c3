"""From evidence to what is likely: `learn` folds a log into a belief, `look_ahead` says what is to be expected.

What computes is imported when it is first asked for, so that whoever only shows a forecast
(`forecast.model`) never loads numpy.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from vanlife_supply.forecast.belief import BELIEF_VERSION, Belief, learn
    from vanlife_supply.forecast.kept import from_bytes, to_bytes
    from vanlife_supply.forecast.outlook import look_ahead

__all__ = ["BELIEF_VERSION", "Belief", "from_bytes", "learn", "look_ahead", "to_bytes"]

_MODULE = {
    "BELIEF_VERSION": "belief",
    "Belief": "belief",
    "learn": "belief",
    "from_bytes": "kept",
    "to_bytes": "kept",
    "look_ahead": "outlook",
}


def __getattr__(name: str) -> Any:
    if name not in _MODULE:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_MODULE[name]}"), name)
