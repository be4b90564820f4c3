"""How each command is typed."""

from __future__ import annotations

_COMMON = "[--at TIME] [--container NAME] [--place NAME] [--paid MONEY] [--note TEXT]"
USAGE_LINES: dict[str, tuple[str, str]] = {
    # command: what follows it, what it is for
    "demo": ("", "the app on a copy of the demonstration log"),
    "fill": (f'SUPPLY [AMOUNT…] [--price-per "35c/gal"] {_COMMON}', "filled to the top, or by an amount; some, almost"),
    "use": (f"SUPPLY AMOUNT [--for WORD] | shower|dishes|wash|coffee [AMOUNT] {_COMMON}",
            "used some; without an amount, what that usually takes you"),
    "reading": (f"SUPPLY AMOUNT [--by sight|stick|scale|probe|count] {_COMMON}", "how much is in it"),
    "dump": (f"[SUPPLY] [AMOUNT | --down-to AMOUNT] {_COMMON}", "emptied, or so much came out"),
    "next": (f"SUPPLY [--into NAME] {_COMMON}", "the one in use is empty, the next is opened"),
    "ran-out": (f"SUPPLY [--cold] {_COMMON}", "the last of it is gone"),
    "exchange": (f"SUPPLY [AMOUNT] {_COMMON}", "one container traded in at a shop"),
    "pour": ("SUPPLY [AMOUNT] --from A --into B [--at TIME] [--note TEXT]", "from one container into another"),
    "spill": (f"SUPPLY AMOUNT {_COMMON}", "spilled or leaked"),
    "aside": ("CONTAINER [--why WORD | --back] [--at TIME] [--note TEXT]", "not usable for now, or usable again"),
    "people": ('N [--pets "dog 50 lb"] [--until TIME] [--at TIME] [--note TEXT]', "who is aboard"),
    "condition": ("WORD [--until TIME | --off] [--at TIME] [--note TEXT]", "heater, hot, cold, away, saving, or your own"),
    "limit": ('WORD --at TIME [--every "5 days"] | WORD --drop | --list', "a date that ends the stay"),
    "note": ("TEXT [--at TIME] [--place NAME]", "words to keep"),
    "planned": ("dump|fill SUPPLY --at TIME [--every fri] | dump|fill SUPPLY --drop | --list", "what lies ahead"),
    "undo": ("[--again]", "take the last act back, or bring it back"),
    "entries": ("[WORDS] [--json] [--since TIME] [--questioned]", "what was noted; words: water b, filled, odd"),
    "mend": (f"ID [AMOUNT…|PHRASE] [--into NAME] [--until TIME] [--word WORD] [--down-to AMOUNT] {_COMMON}",
             "how it should be"),
    "void": ("ID", "an entry counts no more"),
    "settle": ("ID real|mistake|AMOUNT", "answer the question about an odd entry"),
    "days": ("[--json] [--as-of TIME]…", "how long it lasts and what stops you first"),
    "last": ("SUPPLY --until TIME [--json]", "make it last: how much a day, what to cut, what stops you next"),
    "can-i": ("shower|dishes|wash|coffee|guest|AMOUNT [--outside] [--until TIME] [--json]", "is there water, is there room"),
    "whatif": (
        '[--people N] [--use AMOUNT [--outside]] [--container "5 gal water"] [--heater|--hot|--cold|--saving|--away] '
        "[--off WORD] [--no alcohol|propane] [--until TIME] [--json]",
        "something supposed, beside now, also in words (2 people until sun); the log is untouched",
    ),
    "stay": ("[--until TIME] [--json]", "stay or go: the chance that all holds, the latest departure"),
    "drinking": ("[--until TIME] [--hot] [--json]", "drinking only: how long the water keeps people and pets"),
    "look": ("[--json]", "which look would help most"),
    "why": ("SUPPLY|first|LIMIT [--json]", "how its figures are known"),
    "learned": ("[take N | keep N] [--json]", "what the log has taught of the rig; take an offer, or keep what you wrote"),
    "hindsight": ("[--json]", "the log's own forecasts against what came"),
    "rig": (
        "show | load FILE [--from TIME] | change water b 6 gal|gone|called blue jug|… | zone NAME\n"
        "     | vehicle [--height 2.9m] [--length 21ft] [--width 2.1m] [--weight 3500kg] [--country US]",
        "what the vehicle carries, and its size for places with limits",
    ),
    "import": ("FILE|- [--check]", "take in a log.csv"),
    "export": ("FILE|- [--for-spreadsheet]", "give out a log.csv"),
    "backup": ("[FILE]", "a verified copy of the log"),
    "restore": ("[BACKUP]", "put a backup in the place of the log; the log is kept aside"),
    "check": ("", "is the file sound?"),
    "merge": ("FILE", "take over what another log has and this one lacks"),
    "place": (
        "add NAME [--lat N --lon E] [--gives water,gray,toilet,propane,alcohol] [--note TEXT]\n"
        "     | list [--gives WHAT] [--json] | show NAME | import FILE|- | export FILE|- [--gpx]\n"
        "     | confirm NAME WHAT|all yes|no [--note TEXT] [--paid MONEY] [--at TIME]\n"
        "     | here NAME [--odometer 84210] [--at TIME] | leave [--at TIME]\n"
        "     | stay NAME [14 days in 28, then 25 miles | --drop] | mountains on|off",
        "where water, dumping and fuel may be had; yours and from map files",
    ),
    "next-stop": ("[--json]", "where to go, at the latest when, what to do there"),
    "town": ("[--json]", "what to take out, to get, and in which order"),
    "weather": ("import FILE [--unit C|F] | show", "daily temperatures: heating and drinking go by them"),
    "trip": (
        "load FILE [--name NAME] | list | show NAME | closed NAME PLACE [--open]",
        "trips to plan; a place that did not work",
    ),
    "plan": (
        "TRIP [--without PLACE]… [--json | --ics FILE|- | --gpx FILE|- | --csv FILE|-]",
        "the cheapest plan of a trip, why it is so, or what would mend it",
    ),
}


def usage(command: str) -> str:
    """One command's line and what it is for."""
    follows, purpose = USAGE_LINES[command]
    return f"vanlife-supply [--db FILE] {f'{command} {follows}'.strip()}\n   {purpose}"


def overview() -> str:
    """All of them."""
    lines = ["vanlife-supply [--db FILE] [--no-mouse]    open the app; --no-mouse leaves marking to the terminal", ""]
    lines += [f"   {command:<10} {purpose}" for command, (_, purpose) in USAGE_LINES.items()]
    lines += ["", "What happened may also be said in plain words: vanlife-supply dumped gray yesterday.",
              "vanlife-supply COMMAND --help says how it is typed."]  # fmt: skip
    return "\n".join(lines) + "\n"
