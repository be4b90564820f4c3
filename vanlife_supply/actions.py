"""What the app can do: one list that feeds its keys, its palette, its help and the key table of the README."""

from __future__ import annotations

from dataclasses import dataclass

FIRST, PAGE, ENTRIES = "first", "page", "entries"


@dataclass(frozen=True, slots=True)
class Action:
    """One thing to do. `id` is stable (keys may be rebound by it), `words` the hint beside the key, `row` of the hints."""

    id: str
    keys: tuple[str, ...]
    words: str
    help: str
    screen: str = FIRST
    row: int = 0

    @property
    def key(self) -> str:
        """The key shown in hints."""
        return self.keys[0]


ACTIONS: tuple[Action, ...] = (
    Action("filled", ("f",), "filled", "Filled water or fuel: to the top, one jug, or how much.", row=1),
    Action("dumped", ("d",), "dumped", "Dumped gray water: empty, or how much came out.", row=1),
    Action("next", ("n",), "next jug", "The jug in use is empty and the next one is open.", row=1),
    Action("ran_out", ("x",), "ran out", "The last of it is gone. Propane: or it only stopped in the cold.", row=1),
    Action("looked", ("r",), "looked", "Looked, measured or weighed: how much is left.", row=1),
    Action("used", ("u",), "used", "Used some, or spilled it. Nothing depends on noting every use.", row=1),
    Action("undo", ("z",), "undo", "Takes the last thing back and says what it was.", row=1),
    Action("redo", ("y",), "undo the undo", "Notes again what was just taken back."),
    Action("can_i", ("c",), "can I?", "Can I shower, have a guest? What if? Leave or stay? How good was it?", row=2),
    Action("last", ("b",), "make it last", "How much a day until a date: w sun. Drinking is never cut.", row=2),
    Action("town", ("t",), "town list", "What to take out, get and order, and how long it lasts after.", row=2),
    Action("say", ("s",), "say it", "Type what happened in words: filled water b 5 3.50 last night.", row=2),
    Action("stop", ("o",), "at a stop", "Gray, water, propane, alcohol, paid: all of a stop in one round.", row=2),
    Action("catch_up", ("k",), "catch up", "After days of silence: filled? dumped? what is left now?"),
    Action("spans", ("h",), "heater/guest/away", "Heater, guests, away, hot, cold or saving: on, off, until when.", row=2),
    Action("entries", ("e",), "entries", "Everything noted: mend it, take it out, settle what looks odd.", row=2),
    Action("more", ("m", "question_mark", "f1"), "more", "This list of keys.", row=2),
    Action("view", ("v",), "day/night", "Night colours, day colours, the terminal's own; remembered."),
    Action("quit", ("q",), "quit", "Leaves. Everything noted is already kept.", row=2),
    Action("first_thing", ("1",), "open 1", "Opens the first thing to do: how we know, and what to answer."),
    Action("second_thing", ("2",), "open 2", "Opens the second thing to do."),
    Action("third_thing", ("3",), "open 3", "Opens the third thing to do."),
    Action("closer_water", ("w",), "water closer", "Looks closer at water: the range ahead and how we know."),
    Action("closer_gray", ("g",), "gray closer", "Looks closer at gray water."),
    Action("closer_alcohol", ("a",), "alcohol closer", "Looks closer at alcohol."),
    Action("closer_propane", ("p",), "propane closer", "Looks closer at propane."),
    Action("up", ("up",), "up", "One line up.", PAGE, row=1),
    Action("down", ("down",), "down", "One line down.", PAGE, row=1),
    Action("back", ("escape", "q"), "back", "Back to the first screen.", PAGE, row=1),
    Action("mend", ("m",), "mend", "Says what it should have been; the first version is kept behind it.", ENTRIES, row=1),
    Action("void", ("x",), "take out", "Takes this entry out; z on the first screen brings it back.", ENTRIES, row=1),
    Action("real", ("r",), "it is right", "An entry that looks odd is right as it stands.", ENTRIES, row=1),
)
"""In the order hints and help show them."""


NOTING = {"filled": "f", "dumped": "d", "next": "n", "ran_out": "x", "looked": "r", "used": "u"}
"""The actions that note an event → the verb they begin with (the letter stays the verb's name when keys are rebound)."""


def on_screen(screen: str) -> tuple[Action, ...]:
    """The actions of one screen."""
    return tuple(a for a in ACTIONS if a.screen == screen)


def key_name(key: str) -> str:
    """A key as printed on it."""
    return {"question_mark": "?", "escape": "Esc", "up": "↑", "down": "↓"}.get(key, key.upper() if len(key) == 2 else key)


def key_table() -> str:
    """The table of keys for the README, in Markdown."""
    titles = {FIRST: "first screen", PAGE: "any other screen", ENTRIES: "entries"}
    rows = ["| Where | Key | What it does |", "| --- | --- | --- |"]
    for action in ACTIONS:
        keys = " or ".join(f"`{key_name(k)}`" for k in action.keys)
        rows.append(f"| {titles[action.screen]} | {keys} | {action.help} |")
    return "\n".join(rows) + "\n"
