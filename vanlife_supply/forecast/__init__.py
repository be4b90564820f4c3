"""From evidence to what is likely: `learn` folds a log into a belief, `look_ahead` says what is to be expected."""

from vanlife_supply.forecast.belief import BELIEF_VERSION, Belief, learn
from vanlife_supply.forecast.outlook import look_ahead

__all__ = ["BELIEF_VERSION", "Belief", "learn", "look_ahead"]
