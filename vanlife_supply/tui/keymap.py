"""keys.toml beside the log: other keys for actions of the registry, a line each: `filled = "5"`, `more = ["m", "f3"]`."""

from __future__ import annotations

import tomllib
from collections import Counter
from dataclasses import replace

from vanlife_supply.actions import ACTIONS, FIRST, NOTED_AS, PAGE, TITLES, Action, key_name
from vanlife_supply.refusal import Refusal, nearest

FILE = "keys.toml"
_WORDS = {"?": "question_mark", "esc": "escape"}
_NAMED = {"enter", "escape", "up", "down", "left", "right", "question_mark", "pageup", "pagedown", "home", "end",
          *(f"f{n}" for n in range(1, 11))}


def read_keymap(text: str) -> tuple[Action, ...]:
    """The registry with the keys that `text` gives. Refusal names the line that cannot be, or the two that clash."""
    try:
        said = tomllib.loads(text.removeprefix("\ufeff"))
    except tomllib.TOMLDecodeError as fault:
        raise Refusal(f"{FILE} is not readable ({fault}): write lines like filled = \"5\".") from None
    known = [a.id for a in ACTIONS]
    for name in said:
        if name not in known:
            raise Refusal(f"{FILE}: '{name}' is no action{nearest(name, known)}; README's table of keys names them.")
    made = tuple(replace(a, keys=_keys(a, said[a.id])) if a.id in said else a for a in ACTIONS)
    _refuse_clash(made, {a.screen for a in ACTIONS if a.id in said})
    return made


def _keys(action: Action, value: object) -> tuple[str, ...]:
    keys = value if isinstance(value, list) else [value]
    found = tuple(_WORDS.get(k.lower(), k.lower()) for k in keys if isinstance(k, str))
    wrong = next((k for k in found if k not in _NAMED and not (len(k) == 1 and k.isascii() and k.isalnum())), None)
    name = action.id
    if action.screen in NOTED_AS and not all(len(k) == 1 and k.isascii() and k.isalpha() for k in found):
        raise Refusal(f"{FILE}, {name}: only a letter can be its key: digits and arrows mean something else while noting.")
    if len(found) != len(keys) or not found or wrong is not None:
        raise Refusal(f"{FILE}, {name}: '{wrong if wrong is not None else value}' is no key for it: one letter or digit, "
                      "enter, escape, an arrow, or f1 to f10.")  # fmt: skip
    return found


def _refuse_clash(actions: tuple[Action, ...], touched: set[str]) -> None:
    """One key must not mean two things on one screen; what any page does counts on every page."""
    for screen in TITLES if PAGE in touched else touched:
        here = [a for a in actions if a.screen == screen or (a.screen == PAGE and screen != FIRST and PAGE in touched)]
        for key, count in Counter(k for a in here for k in a.keys).items():
            usual = [a.id for a in ACTIONS if key in a.keys and a in here]
            if count > 1 and len(usual) < count:
                both = " and ".join(a.id for a in here if key in a.keys)
                raise Refusal(f"{FILE}: {key_name(key)} would be {both} ({TITLES[screen]}): give one of them another key.")
