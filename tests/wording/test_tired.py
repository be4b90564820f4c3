"""What a tired person types, and what it is taken for: on the app's line and on the command line alike."""

from __future__ import annotations

import shlex

import pytest

from tests.conftest import RIG, Runner
from vanlife_supply.commands.usage import USAGE_LINES
from vanlife_supply.entry.build import build
from vanlife_supply.entry.phrase import read_phrase
from vanlife_supply.entry.sizes import sized
from vanlife_supply.moment import read_iso
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.load import read_rig
from vanlife_supply.wording.entries import entry_full

CARRIED = read_rig(RIG)
"""Two 7 gal jugs, a 6 gal sink jug, two 1 L canisters and a 1 gal can, one cylinder of 17.1 lb."""
NOW = read_iso("2026-05-07T19:10", "America/Denver").moment
"""A Thursday evening."""

TAKEN: list[tuple[str, str]] = [
    # filled
    ("filled up", "Filled water to the top"),
    ("we filled both jugs", "Filled water to the top"),
    ("topped off water for 3 bucks", "Filled water to the top, paid $3.00"),
    ("filled jug b 5 gal at Old Mill $4", "Added 5 gal of water to jug 2, paid $4.00, at Old Mill"),
    ("put 3 gallons in jug a", "Added 3 gal of water to jug 1"),
    ("added a couple gallons to water b", "Added 2 gal of water to jug 2"),
    ("bought alcohol $18", "Added some alcohol, paid $18.00"),
    ("bought a can of alcohol $18", "Added 1 can of alcohol to can, paid $18.00"),
    ("alcohol 1 gal $18", "Added 1 gal of alcohol, paid $18.00"),
    ("propane refill $15", "Filled propane to the top, paid $15.00"),
    ("filled canister 1 from the can", "Poured alcohol from can into canister 1"),
    ("swapped the propane tank $22", "Traded in cylinder, paid $22.00"),
    # looked
    ("water low", "Looked at water: 20%"),
    ("the water's almost gone", "Looked at water: 5%"),
    ("water about half", "Looked at water: half"),
    ("water a bit left", "Looked at water: 10%"),
    ("water nearly full", "Looked at water: 95%"),
    ("half a jug left", "Looked at water: half"),
    ("about 2 gal water left", "Looked at water: 2 gal"),
    ("jug b dry", "Counted water jug 2: empty"),
    ("both jugs full", "Counted water: full"),
    ("alcohol can full", "Counted alcohol can: full"),
    ("propane tank almost empty", "Looked at propane: 5%"),
    ("gray is full", "Looked at gray: full in it"),
    ("looked at the water, half full", "Looked at water: half"),
    ("still half a can of alcohol", "Looked at alcohol can: half"),
    ("50% propane", "Looked at propane: half"),
    ("only 2 gal left of water", "Looked at water: 2 gal"),
    ("gray at 4 gal", "Looked at gray: 4 gal in it"),
    ("scale says 24.3", "Weighed propane: 24.3 lb with its container"),
    ("cylinder weighs 24.3 lbs", "Weighed propane cylinder: 24.3 lb with its container"),
    # gone, next, dumped
    ("i'm out of water", "Water ran out"),
    ("water ran out", "Water ran out"),
    ("no more water", "Water ran out"),
    ("jug a ran out last night", "Water jug 1 ran out, yesterday, evening"),
    ("next", "Water: the one in use empty, the next one opened"),
    ("next b", "Water: the one in use empty, jug 2 opened"),
    ("switched to jug b", "Water: the one in use empty, jug 2 opened"),
    ("switched from jug a to jug b", "Water: jug 1 empty, jug 2 opened"),
    ("dumped", "Dumped gray empty"),
    ("emptied the gray jug yesterday", "Dumped gray empty, yesterday, some time"),
    ("dumped gray down to 1 gal", "Dumped gray down to 1 gal"),
    ("dumped gray 4 gal gal", "Dumped 4 gal of gray"),
    ("looked propane 30 lb lb gross", "Weighed propane: 30 lb with its container"),
    # used
    ("took a shower", "Used 1 gal of water for shower"),
    ("had 2 coffees", "Used 0.8 L of water for coffee"),
    ("did dishes twice", "Used 0.6 gal of water for dishes"),
    ("washed my hair 1 gal", "Used 1 gal of water for hair"),
    ("gave the dog a liter", "Used 1 L of water for dog"),
    ("drank 2 L", "Used 2 L of water for drinking"),
    ("cooked dinner 0.1 L", "Used 0.1 L of alcohol for cooking"),
    ("moved 1 gal from jug b to jug a", "Poured 1 gal of water from jug 2 into jug 1"),
    # on until when, planned, aside
    ("it's cold til saturday", "Cold until Sat 9 May"),
    ("turned the heater on", "Heater on"),
    ("ran the heater last night", "Heater on, yesterday, evening"),
    ("heater for 2 nights", "Heater on until Sat 9 May"),
    ("going away 3 days", "Away until Sun 10 May"),
    ("i'm back", "No longer away"),
    ("saving water", "Saving"),
    ("stopped the heater", "Heater off"),
    ("two of us", "2 people aboard"),
    ("put jug a aside", "Set water jug 1 aside"),
    ("dump every friday", "Dump of gray planned Fri 8 May, every friday"),
    ("limit dump every 5 days", "Dump till Tue 12 May, every 5 days"),
    ("leaving saturday", "Move till Sat 9 May"),
    ("guest gone yesterday", "1 person aboard, yesterday, some time"),
    ("mom is visiting till sunday", "2 people aboard until Sun 10 May"),
    ("food runs out friday", "Food till Fri 8 May"),
    ("must leave by saturday", "Move till Sat 9 May"),
    ("plan dump gray sunday", "Dump of gray planned Sun 10 May"),
    ("planning to dump on sunday", "Dump of gray planned Sun 10 May"),
    ("fill water tomorrow", "Fill of water planned Fri 8 May"),
    ("jug b froze", "Set water jug 2 aside (froze)"),
    ("jug b thawed", "Water jug 2 back in use"),
    ("note propane is $4/gal at the mill", "Propane is $4/gal at the mill"),
]

REFUSED: list[tuple[str, str]] = [
    ("wter half", "did you mean 'water'"),
    ("fileld water", "did you mean 'filled'"),
    ("watr ran out", "did you mean 'water'"),
    ("made coffe", "did you mean 'coffee'"),
    ("filled 12 galons", "did you mean 'gal'"),
    ("b half", "Say water b .jug 2. or alcohol b .canister 2."),
    ("low", "Which supply"),
    ("both jugs about half", "One at a time: water a half, then water b half"),
    ("both canisters full", "One at a time: alcohol a full, then alcohol b full"),
    ("water a half b full", "one at a time"),
    ("water one bottle left", "How much is '1 bottle'"),
    ("filled the canister", "say canister 1 or canister 2"),
    ("laundry 2 gal", "Say used 2 gal for laundry"),
    ("cooked 20 minutes", "'minutes' is neither a unit"),
    ("dump sunday", "Say dumped sunday, or plan dump sunday"),
    ("next water 3 gal", "'3 gal'"),
    ("guest sunday till tuesday", "Say since sunday"),
    ("flame went out", "flame died in the cold"),
    ("filled water 5g", "g is grams"),
    ("no dump sunday", "Say no dump for all"),
    ("ran out of water half", "'half' does not belong"),
]


def told(text: str) -> str:
    """What the app's line says that it would note, without `just now`."""
    entry = build(sized(read_phrase(text, CARRIED, NOW), (), CARRIED), CARRIED, NOW)
    return entry_full(entry, CARRIED, NOW).removesuffix(", just now")


@pytest.mark.parametrize(("text", "means"), TAKEN, ids=[text for text, _ in TAKEN])
def test_what_is_said_is_what_is_noted(text: str, means: str) -> None:
    """Little words, usual slips of the tongue and any order are understood as they are meant."""
    assert told(text) == means


@pytest.mark.parametrize(("text", "says"), REFUSED, ids=[text for text, _ in REFUSED])
def test_what_could_be_something_else_is_refused(text: str, says: str) -> None:
    """A wrong word is named with the nearest right one, what has two meanings is asked; nothing is guessed."""
    with pytest.raises(Refusal, match=says):
        told(text)


@pytest.mark.parametrize("text", [text for text, _ in TAKEN if text.split()[0] not in USAGE_LINES], ids=str)
def test_the_command_line_takes_the_same_words(ready: Runner, text: str) -> None:
    """What the app's line understands is noted by the same words after the program's name."""
    said = ready(*shlex.split(text.replace("'", "\\'")))
    means = told(text)
    assert said.status == 0 and said.out.removeprefix("Noted: ")[1:].startswith(means[1:])
