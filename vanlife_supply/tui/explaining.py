"""What stands under the cursor or on the screen, explained in two sentences each."""

from __future__ import annotations

from vanlife_supply.actions import (
    ASKED,
    BUILD,
    ENTRIES,
    FIRST,
    MORE,
    PAGE,
    PICK,
    PLACE,
    PLACES,
    QUESTION,
    RIG,
    STOP,
    TRIP,
    with_keys,
)
from vanlife_supply.entry import model as m

CLOSER, IN_DOUBT = "closer", "questioned"
RIG_LOAD, RIG_SUPPLY, RIG_CONTAINER, RIG_SILENCED = "rig load", "rig supply", "rig container", "rig silenced"
BUILD_PLACE = "build place"
ASK, LINES, DECIDING = "ask", "lines", "deciding"

_TEXTS = {
    FIRST: "What you may count on holds 9 times in 10; what is likely turns out too long as often as too short. "
           "The arrow marks what stops you first, its letter opens it, and {more} shows every key.",
    PAGE: "This is one thing worth doing: what threatens, with its chance, and what would help. "
          "The picture shows how much is left on each coming day: at least that much █, likely ▒, at best ·.",
    MORE: "The letters at the top do what has no key on the first screen; below them stands every key and what it does. "
          "All of it can also be tapped.",
    CLOSER: "The picture shows how much is left on each coming day: at least that much █, likely ▒, at best ·. "
            "Below stands how that is known, what you used a day before, and how earlier forecasts came out.",
    ASKED: "What you noted fits better if something was on or off that nobody wrote down. "
           "Yes notes it from the day it shows, no is noted too, and Esc leaves it open.",
    QUESTION: "What was noted cannot all be so, and only you know which of these it was. "
              "A letter chooses and shows what it would note; nothing is kept before Enter.",
    ENTRIES: "Everything you noted stands here, the newest first. Nothing is noted yet.",
    IN_DOUBT: "This does not fit what was noted before and after it, so it counts only half. "
         "Say that it is right, a mistake, or how much it was in truth, and it counts in full or not at all.",
    m.FILL: "Something came aboard; filled to the top is the surest note there is. "
            "Between two such notes the use a day is learned, so it matters that they are right.",
    m.USE: "Some was used for one thing. "
           "It explains where the supply goes, but the days left do not depend on noting every use.",
    m.READING: "You looked, measured or weighed how much was in it. The days left start anew from here, "
               "a weight being trusted more than a look.",
    m.DUMP: "Gray water was let out. "
            "Dumped empty is the surest note of it; between two such notes the app learns what comes in.",
    m.NEXT: "The one in use was empty and the next was opened. That is an exact level, noted with one key.",
    m.RAN_OUT: "The last of it was gone. "
               "That is an exact level too; if it only stopped in the cold, it says so and counts as none.",
    m.EXCHANGE: "A cylinder was traded in for another one. "
                "What was left in the old one is gone, and is not counted as used.",
    m.POUR: "It went from one container into another. Nothing came aboard and nothing was used.",
    m.SPILL: "Some was spilled or leaked. It is gone, but it is no habit: the use a day is not learned from it.",
    m.ASIDE: "This container is set aside, or back. While it is aside, what is in it does not count as usable.",
    m.PEOPLE: "So many live aboard, from then on or until a date. What is used a day goes by how many there are.",
    m.CONDITION: "Something was on or off that changes what is used. "
                 "The app learns how much it changes, and reckons with it until it ends.",
    m.LIMIT: "A date that ends the stay, as you said it. It takes part in what stops you first.",
    m.NOTE: "Words to remember something by. No figure depends on it.",
    m.PLANNED: "A dump or fill that lies ahead. "
               "Warnings tell whether you get there; it is not done until you note it.",
    PLACES: "A place, how far it is, and whether it has what you need next: yes, no, or ask there. "
            "Enter opens all that is known of it, and a letter shows only places for one thing.",
    PLACE: "What is had here, and who said so: you, or the map. A letter and yes or no notes what you found, "
           "which from then on goes before the map.",
    STOP: "The place where what runs short first can be had in time, and what to do there. "
          "If it did not work, one key notes that and names another.",
    TRIP: "Each row is a supply: how sure it holds each night, with the stops numbered where they are. "
          "Below stand the stops with their cost, why each is needed, and how many nights there are to spare.",
    BUILD: "A stay: how long, how far to drive before it, who is aboard and what is on. "
           "Enter changes it, and the plan is made anew.",
    BUILD_PLACE: "A place where something can be had near this stay or on the way to it. "
                 "The plan stops there only if it pays.",
    PICK: "A known place that may go into the trip, with what is had there. "
          "Enter takes it, and the plan decides whether to stop there.",
    RIG: "Who lives aboard, in which units amounts are said, the time zone and the money. "
         "What is changed holds from now on; the past stays.",
    RIG_LOAD: "What water, waste and fuel weigh together now, beside what you said they may weigh. "
              "It is reckoned from the levels, so weigh the vehicle to be sure.",
    RIG_SUPPLY: "One supply: its unit, what is kept back, how long you think it lasts. "
                "The days left are counted down to what is kept back.",
    RIG_CONTAINER: "One jug, tank, canister or cylinder: how much it holds, and to where it is filled. "
                   "{change_rig} changes it from now on, {container_gone} takes it off.",
    RIG_SILENCED: "You said that this is not to be asked. Enter has it asked again.",
    ASK: "What you type is said back in plain words before it counts. "
         "Nothing is kept before Enter, and Esc leaves everything as it was.",
    LINES: "Each line answers one question, and what was understood stands below it. "
           "Nothing counts before the last one.",
    DECIDING: "Nothing you ask here is noted by asking. Where the answer is something you then do, n notes it.",
}  # fmt: skip
"""Screen, kind of row or kind of entry → two sentences."""


def explained(about: str) -> str:
    """Two sentences on a screen, a kind of row (of the names here) or a kind of entry."""
    return with_keys(_TEXTS[about])
