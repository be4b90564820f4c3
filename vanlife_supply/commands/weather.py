"""Outside temperatures: taken in from a file, and what is known of them."""

from __future__ import annotations

from datetime import date

from vanlife_supply import keeping
from vanlife_supply.commands.args import parse, usage_if
from vanlife_supply.commands.desk import open_log
from vanlife_supply.commands.whole import read_text
from vanlife_supply.keeping.weather import take_in_weather
from vanlife_supply.logbook.weather import temperatures

_EPOCH = date(1970, 1, 1).toordinal()


def weather(argv: list[str], db: str | None) -> int:
    """`weather import FILE`, `weather show`."""
    args = parse("weather", argv, ("--unit",))
    deed = args.words[0] if args.words else "show"
    usage_if(deed not in ("import", "show"), "weather", "say import FILE, or show")
    usage_if(len(args.words) > 1 + (deed == "import"), "weather", "too many words")
    if deed == "show":
        with open_log(db) as book:
            days = temperatures(book)
        print(f"Temperatures known: {_span(days)}." if days else "No temperatures are known: weather import FILE.")
        return 0
    usage_if(len(args.words) != 2, "weather", "name one file")
    text = read_text(args.words[1])
    with open_log(db) as book:
        days = take_in_weather(book, text, args.value("--unit"), keeping.now_of(book))
    print(f"Taken in: {_span(days)}. 'undo' takes it back; 'hindsight' tells whether it helps.")
    return 0


def _span(days: tuple[tuple[int, float], ...]) -> str:
    first, last = (date.fromordinal(_EPOCH + day).isoformat() for day in (days[0][0], days[-1][0]))
    count = "1 day" if len(days) == 1 else f"{len(days)} days"
    return f"{count} from {first} to {last}, mean {sum(mean for _, mean in days) / len(days):.0f} °C"
