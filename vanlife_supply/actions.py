"""What the app can do: one list that feeds its keys, its palette, its help and the key table of the README."""

from __future__ import annotations

from dataclasses import dataclass

FIRST, PAGE, ASKED, CLOSER, ENTRIES, MORE = "first", "page", "asked", "closer", "entries", "more"
PLACES, PLACE, STOP, TRIP = "places", "place", "next stop", "trip"
BUILD, PICK, RIG = "build", "pick", "rig"
QUESTION = "question"
LEVELS, FILLING, OUT, ASIDE, USING = "levels", "filling", "out", "aside", "using"
NOTED_AS = (LEVELS, FILLING, OUT, ASIDE, USING)
"""Letters that mean something only while something is noted; a supply has there the letter that opens it."""
ODD = 3
"""The row of hints beside an entry that looks odd."""
TITLES = {
    FIRST: "first screen", MORE: "more", PAGE: "any other screen", ASKED: "a question", CLOSER: "one supply",
    ENTRIES: "entries", PLACES: "places", PLACE: "one place",
    STOP: "next stop", TRIP: "trip", BUILD: "building a trip", PICK: "choosing a place", RIG: "what is carried",
    QUESTION: "a question", LEVELS: "noting how full it looks", FILLING: "noting a fill or dump",
    OUT: "noting what ran out", ASIDE: "noting what is set aside", USING: "noting what was used",
}  # fmt: skip
"""Screen → what it is called, in the order help and README show them."""


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
    Action("next_stop", ("i",), "next stop", "Where to go next, by when, what to do there, what if it is closed.", row=2),
    Action("places", ("l",), "places", "Places by what is needed next: what is had there, how far, what it cost.", row=2),
    Action("trip", ("j",), "trip", "The trip day by day: stops, what each supply does, the plan and why it is so.", row=2),
    Action("catch_up", ("k",), "catch up", "After days of silence: filled? dumped? what is left now?"),
    Action("spans", ("h",), "heater/guest/away", "Heater, guests, away, hot, cold or saving: on, off, until when.", row=2),
    Action("entries", ("e",), "entries", "Everything noted: mend it, take it out, settle what looks odd.", row=2),
    Action("more", ("m",), "more", "Set aside, planned, till when; and this list of keys.", row=2),
    Action("explain", ("question_mark", "f1"), "what is this?", "What stands here, in two sentences; on every screen."),
    Action("find", ("f4",), "find", "Every action by its name, with its key; on every screen."),
    Action("view", ("v",), "day/night", "Night colours, day colours, the terminal's own; remembered."),
    Action("quit", ("q",), "quit", "Leaves. Everything noted is already kept.", row=2),
    Action("rest", ("right", "left", "pageup", "pagedown"), "the rest",
           "What has no room on a small screen: more to do, more jugs."),
    Action("first_thing", ("1",), "open 1", "Opens the first thing to do: how we know, and what to answer."),
    Action("second_thing", ("2",), "open 2", "Opens the second thing to do."),
    Action("third_thing", ("3",), "open 3", "Opens the third thing to do."),
    Action("closer_water", ("w",), "water closer", "Looks closer at water: the range ahead and how we know."),
    Action("closer_gray", ("g",), "gray closer", "Looks closer at gray water."),
    Action("closer_alcohol", ("a",), "alcohol closer", "Looks closer at alcohol."),
    Action("closer_propane", ("p",), "propane closer", "Looks closer at propane."),
    Action("aside", ("a",), "set aside, back", "A jug frozen, split or bad counts no more until it is back.", MORE, row=1),
    Action("plan", ("p",), "plan dump or fill", "A dump or fill ahead, with repeats; or that it is off.", MORE, row=1),
    Action("limit", ("l",), "till when", "Food till Thursday, move by Saturday: dates that end the stay.", MORE, row=1),
    Action("rig", ("r",), "what is carried", "A jug lost, a bigger tank, new names, units, reserve, people.", MORE, row=1),
    Action("up", ("up",), "up", "One line up.", PAGE, row=1),
    Action("down", ("down",), "down", "One line down.", PAGE, row=1),
    Action("page_up", ("left", "pageup"), "page up", "A whole page up.", PAGE),
    Action("page_down", ("right", "pagedown"), "page down", "A whole page down.", PAGE),
    Action("top", ("home",), "top", "To the beginning.", PAGE),
    Action("bottom", ("end",), "bottom", "To the end.", PAGE),
    Action("explain_this", ("question_mark", "f1"), "what is this?", "Explains what stands under the cursor.", PAGE),
    Action("back", ("escape", "q"), "back", "Back to the first screen.", PAGE, row=1),
    Action("switched", ("y",), "yes", "Yes: it is noted from the day it shows.", ASKED, row=1),
    Action("not_switched", ("n",), "not so", "Not so: noted now, and not asked again until it changes.", ASKED, row=1),
    Action("take_offer", ("y",), "take it over", "Writes what was learned of it into the rig from now on.", CLOSER),
    Action("keep_own", ("k",), "leave it", "The rig stays as you wrote it; it is not asked about again.", CLOSER),
    Action("mend", ("m",), "mend", "Says what it should have been; the first version is kept behind it.", ENTRIES, row=1),
    Action("void", ("x",), "take out", "Takes this entry out; {undo} on the first screen brings it back.", ENTRIES, row=1),
    Action("real", ("r",), "it is right", "An entry that looks odd is right as it stands.", ENTRIES, row=ODD),
    Action("mistake", ("k",), "a mistake", "An entry that looks odd was never so: it counts no more.", ENTRIES, row=ODD),
    Action("amount", ("a",), "it was so much", "An entry that looks odd, with what it was in truth.", ENTRIES, row=ODD),
    Action("only_some", ("f",), "find", "Only some: water b, filled, a place, odd. Esc shows all again.", ENTRIES, row=1),
    Action("take_change", ("enter",), "do it", "Does what was chosen, once its effect was shown; else mends.", ENTRIES),
    Action("open_place", ("enter",), "open", "Opens the place: all that is known of it.", PLACES, row=1),
    Action("only_water", ("w",), "water", "Only places with water; the letter again shows all.", PLACES, row=1),
    Action("only_gray", ("g",), "gray", "Only places for gray water.", PLACES, row=1),
    Action("only_alcohol", ("a",), "alcohol", "Only places with stove alcohol.", PLACES, row=1),
    Action("only_propane", ("p",), "propane", "Only places with propane.", PLACES, row=1),
    Action("only_toilet", ("t",), "toilet", "Only places for toilet waste.", PLACES, row=1),
    Action("add_place", ("n",), "new one here", "Notes the place where you are, by its name.", PLACES, row=1),
    Action("said_water", ("w",), "water", "Water at this place; then {yes} yes or {no} no.", PLACE, row=1),
    Action("said_gray", ("g",), "gray", "Gray water at this place; then {yes} yes or {no} no.", PLACE, row=1),
    Action("said_alcohol", ("a",), "alcohol", "Stove alcohol at this place; then {yes} yes or {no} no.", PLACE, row=1),
    Action("said_propane", ("p",), "propane", "Propane at this place; then {yes} yes or {no} no.", PLACE, row=1),
    Action("said_toilet", ("t",), "toilet", "Toilet waste at this place; then {yes} yes or {no} no.", PLACE, row=1),
    Action("yes", ("y",), "yes", "Yes, you found it so; kept with today's date.", PLACE),
    Action("no", ("n",), "no", "No, you found it so.", PLACE),
    Action("failed", ("x",), "did not work", "Closed, dry or broken: noted, the next stop proposed at once.", PLACE, row=1),
    Action("here", ("h",), "I am here", "You are at this place: distances count from here.", PLACE, row=1),
    Action("stay_limit", ("s",), "stay limit", "How long one may stay here: 14 days in 28, then 25 miles.", PLACE, row=1),
    Action("filled_here", ("f",), "filled here", "Notes a fill at this place; it says yes for next time.", PLACE, row=1),
    Action("dumped_here", ("d",), "dumped here", "Notes a dump at this place.", PLACE, row=1),
    Action("open_stop", ("enter",), "open", "Opens the place of the next stop.", STOP, row=1),
    Action("open_other", ("o",), "the other one", "Opens the place to go to if this one is closed.", STOP, row=1),
    Action("stop_failed", ("x",), "did not work", "Closed, dry or broken: noted, another proposed at once.", STOP, row=1),
    Action("trip_failed", ("x",), "stop did not work", "A stop is closed or dry: which one; planned anew.", TRIP, row=1),
    Action("trip_files", ("f",), "to files", "Town list, calendar, map file and table of the plan, beside the log.", TRIP,
           row=1),
    Action("new_trip", ("n",), "new trip", "Two lines make a trip: its name and start, its first stay.", TRIP, row=1),
    Action("build_trip", ("b",), "build on", "Stays, legs, places, people of this trip: put in, changed, out.", TRIP, row=1),
    Action("other_trip", ("j",), "another trip", "The next of the trips loaded.", TRIP, row=1),
    Action("add_stay", ("s",), "add a stay", "One more stay after this: nights or until when, how far, who.", BUILD, row=1),
    Action("add_stop", ("p",), "add a place", "A known place near this stay or on its leg.", BUILD, row=1),
    Action("change_row", ("enter", "m"), "change", "This stay or place as a line to change.", BUILD, row=1),
    Action("take_out_row", ("x",), "take out", "This place goes, or this stay with its places.", BUILD, row=1),
    Action("change_head", ("c",), "start, costs", "When it starts, what a mile, a stop, an hour cost, what is carried.",
           BUILD, row=1),
    Action("undo_change", ("z",), "undo", "Takes the last change of this trip back.", BUILD, row=1),
    Action("missing", ("f", "d"), "one is missing", "A fill (gray: a dump) nobody noted, some time in the gap.", QUESTION),
    Action("less", ("l",), "I used less", "Then how much is left is asked.", QUESTION),
    Action("was_away", ("a",), "I was away", "From the last sure word until now.", QUESTION),
    Action("gone", ("y",), "yes", "The guest is gone; it was done as planned.", QUESTION),
    Action("stays", ("n",), "no", "The guest is still here; it was not done. Not asked again.", QUESTION),
    Action("note_it", ("enter",), "note it", "Notes the answer chosen; {undo} takes it back.", QUESTION),
    Action("not_now", ("escape",), "not today", "Nothing is asked until tomorrow.", QUESTION),
    Action("explain_question", ("question_mark", "f1"), "what is this?", "Why it is asked.", QUESTION),
    Action("change_rig", ("enter", "m"), "change", "In words: 6 gal, called blue jug, reserve 1 gal, unit L.", RIG, row=1),
    Action("add_to_rig", ("a",), "add", "One more jug, tank or cylinder, also of a supply of your own.", RIG, row=1),
    Action("container_gone", ("x",), "gone", "This one is lost, split or sold; what was noted of it stays.", RIG, row=1),
    Action("aboard", ("p",), "who lives here", "How many people and which pets, from now on.", RIG, row=1),
    Action("pick", ("enter",), "take it", "This place goes into the trip.", PICK, row=1),
    Action("type_place", ("t",), "type one", "A place in a line: its name, where, what is had there.", PICK, row=1),
    Action("half", ("h",), "half", "It looks half full.", LEVELS),
    Action("quarter", ("q",), "quarter", "A quarter is left.", LEVELS),
    Action("three_quarters", ("t",), "three quarters", "Three quarters are left.", LEVELS),
    Action("full", ("f",), "full", "It is full.", LEVELS),
    Action("empty", ("e",), "empty", "It is empty.", LEVELS),
    Action("traded_in", ("t",), "traded in", "A cylinder traded in at a shop; its rest is lost.", FILLING),
    Action("just_bought", ("n",), "just bought", "Not out of the can aboard: it came aboard just now.", FILLING),
    Action("plan_one", ("p",), "plan one", "Not done yet: then when it is planned.", FILLING),
    Action("too_cold", ("c",), "only too cold, some left", "The flame died in the cold; it is not empty.", OUT),
    Action("put_aside", ("s",), "split or frozen: set aside", "Not empty: it does not count for now.", OUT),
    Action("all_out", ("e",), "everything is empty", "Not only the one in use: all the others of it too.", OUT),
    Action("frozen", ("f",), "frozen", "It is frozen.", ASIDE),
    Action("split", ("s",), "split", "It is split.", ASIDE),
    Action("bad", ("b",), "bad", "What is in it is not fit for use.", ASIDE),
    Action("shower", ("s",), "shower", "As much as a shower takes you.", USING),
    Action("dishes", ("d",), "dishes", "As much as the dishes take you.", USING),
    Action("wash", ("w",), "wash", "As much as a wash takes you.", USING),
    Action("coffee", ("c",), "coffee", "As much as a coffee takes you.", USING),
    Action("spilled", ("l",), "spilled or leaked", "It was not used, it is lost.", USING),
)
"""In the order hints and help show them."""


NOTING = {"filled": "f", "dumped": "d", "next": "n", "ran_out": "x", "looked": "r", "used": "u", "aside": "a"}
"""The actions that note an event → the verb they begin with (the letter stays the verb's name when keys are rebound)."""


_in_force = ACTIONS


def put_in_force(actions: tuple[Action, ...]) -> None:
    """Sets the keys this process goes by, once, before any screen is made."""
    global _in_force
    _in_force = actions


def on_screen(screen: str) -> tuple[Action, ...]:
    """The actions of one screen, with the keys in force."""
    return tuple(a for a in _in_force if a.screen == screen)


OPENED_BY = {
    ENTRIES: "entries", PLACES: "places", PLACE: "places", STOP: "next_stop", TRIP: "trip", BUILD: "trip", PICK: "trip",
    RIG: "rig",
}  # fmt: skip
"""Screen → the action that leads to it, or to the screen it is opened from."""


def in_force() -> tuple[Action, ...]:
    """Every action, with the keys in force."""
    return _in_force


def key_of(name: str) -> str:
    """The key of an action as it is printed, for sentences that name it."""
    return key_name(next(a for a in _in_force if a.id == name).key)


def with_keys(text: str) -> str:
    """`text` with the keys in force for the ids of actions in braces: `{undo} takes it back`."""
    return text.format_map(_Printed())


class _Printed(dict[str, str]):
    """The id of an action → its key as it is printed."""

    def __missing__(self, name: str) -> str:
        return key_of(name)


def keys_of(*screens: str) -> dict[str, str]:
    """Key → the id of what it does there; the screen named first wins."""
    return {key: a.id for screen in reversed(screens) for a in on_screen(screen) for key in a.keys}


_NAMES = {
    "question_mark": "?", "escape": "Esc", "up": "↑", "down": "↓", "left": "←", "right": "→", "enter": "Enter",
    "pageup": "PgUp", "pagedown": "PgDn", "home": "Home", "end": "End",
}  # fmt: skip


def key_name(key: str) -> str:
    """A key as printed on it."""
    return _NAMES.get(key, key.upper() if len(key) == 2 else key)


def key_table() -> str:
    """The table of keys for the README, in Markdown."""
    rows = ["| Where | Key | What it does |", "| --- | --- | --- |"]
    for action in ACTIONS:
        keys = " or ".join(f"`{key_name(k)}`" for k in action.keys)
        rows.append(f"| {TITLES[action.screen]} | {keys} | {with_keys(action.help)} |")
    return "\n".join(rows) + "\n"
