"""Evidence → habit → drain → days left → first to stop you → warnings.

`learn` folds entries into a `Belief`, `look_ahead` makes a `Forecast` of it. What computes is imported
when it is first asked for, so that whoever only shows a forecast (`forecast.model`) never loads numpy.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from vanlife_supply.forecast.belief import Belief, learn
    from vanlife_supply.forecast.outlook import look_ahead

__all__ = ["Belief", "learn", "look_ahead"]


def __getattr__(name: str) -> Any:
    if name == "look_ahead":
        from vanlife_supply.forecast import outlook

        return outlook.look_ahead
    if name in ("Belief", "learn"):
        from vanlife_supply.forecast import belief

        return getattr(belief, name)
    raise AttributeError(name)
