"""Amounts a person types, and units: US, metric, imperial by name, and what only a rig can size (%, jugs, gross)."""

from __future__ import annotations

import re
from dataclasses import dataclass

from vanlife_supply.constants import KG_PER_POUND, LITRES_PER_GALLON, LITRES_PER_IMPERIAL_GALLON
from vanlife_supply.refusal import Refusal

VOLUME: dict[str, float] = {
    "L": 1.0,
    "mL": 0.001,
    "gal": LITRES_PER_GALLON,
    "imp gal": LITRES_PER_IMPERIAL_GALLON,
    "qt": LITRES_PER_GALLON / 4,
    "cup": LITRES_PER_GALLON / 16,
    "fl_oz": LITRES_PER_GALLON / 128,
}
"""Litres in one of each unit of volume."""

MASS: dict[str, float] = {"kg": 1.0, "g": 0.001, "lb": KG_PER_POUND, "oz": KG_PER_POUND / 16}
"""Kilograms in one of each unit of mass."""

NUMBER_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
PERCENT = "%"
GROSS = {"lb gross": "lb", "kg gross": "kg"}
"""Weighed together with the container: the unit left when its tare is taken off."""

_SPELLED = {
    **dict.fromkeys(("l", "ltr", "liter", "liters", "litre", "litres"), "L"),
    **dict.fromkeys(("ml", "milliliter", "milliliters", "millilitre", "millilitres"), "mL"),
    **dict.fromkeys(("gal", "gals", "gallon", "gallons", "us gal"), "gal"),
    **dict.fromkeys(("imp gal", "imp gallon", "imp gallons", "imperial gal", "imperial gallons"), "imp gal"),
    **dict.fromkeys(("qt", "qts", "quart", "quarts"), "qt"),
    **dict.fromkeys(("cup", "cups"), "cup"),
    **dict.fromkeys(("fl_oz", "fl oz", "floz"), "fl_oz"),
    **dict.fromkeys(("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"), "kg"),
    **dict.fromkeys(("g", "gram", "grams"), "g"),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("oz", "ounce", "ounces"), "oz"),
    **dict.fromkeys(("%", "percent", "per cent"), "%"),
    "lb gross": "lb gross",
    "lbs gross": "lb gross",
    "kg gross": "kg gross",
    "gross": "gross",
}

_SHARES = {
    "half": 50.0,
    "a half": 50.0,
    "quarter": 25.0,
    "a quarter": 25.0,
    "third": 100 / 3,
    "a third": 100 / 3,
    "two thirds": 200 / 3,
    "three quarters": 75.0,
    "full": 100.0,
    "empty": 0.0,
    "almost full": 95.0,
    "almost": 95.0,
    "nearly": 95.0,
    "nearly full": 95.0,
    **dict.fromkeys(("dry", "bone dry", "gone"), 0.0),
    **{f"{near} {end}": 5.0 for near in ("almost", "nearly") for end in ("empty", "dry", "out", "gone")},
    **dict.fromkeys(("a bit", "bit", "a little", "little", "very low"), 10.0),
    **dict.fromkeys(("low", "getting low", "pretty low", "running low"), 20.0),
    **dict.fromkeys(("less than half", "under half"), 40.0),
    **dict.fromkeys(("more than half", "over half"), 60.0),
    **dict.fromkeys(("sealed", "unopened", "brim full"), 100.0),
    "mostly full": 80.0,
}
"""Percent; what is said by eye is ± 15 % or so whatever the word: common practice, no source."""
SHARE_WORDS = tuple(sorted(_SHARES, key=len, reverse=True))
"""All words for how full something is, the longer ones first; `parse_share` reads them."""
_GLYPHS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3"}
_WHOLE = re.compile(r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+")
_FRACTION = re.compile(r"(?:([0-9]+) )?([0-9]+)/([0-9]+)")
_AMOUNT = re.compile(r"((?:[0-9]+ )?[0-9]+/[0-9]+|[0-9.,]+)\s*(.*)")


@dataclass(frozen=True, slots=True)
class Amount:
    """A number and its unit as typed; unit "" means the supply's display unit."""

    value: float
    unit: str = ""

    def __str__(self) -> str:
        return f"{self.value:g} {self.unit}".strip()


def unit_named(text: str) -> str | None:
    """The canonical name of a unit however it is spelled, or None."""
    squeezed = " ".join(text.lower().split())
    return _SPELLED.get(squeezed)


def number(text: str) -> float:
    """A plain non-negative decimal with point or comma, or a fraction such as `2 1/2`.

    Raises Refusal for anything else; `1,234` is refused because nobody can tell what it means.
    """
    plain = text.strip()
    fraction = _FRACTION.fullmatch(plain)
    if fraction and int(fraction[3]):
        return int(fraction[1] or 0) + int(fraction[2]) / int(fraction[3])
    if not _WHOLE.fullmatch(plain):
        if plain.startswith("-"):
            raise Refusal(f"'{plain}' is below nothing: amounts are 0 or more.")
        raise Refusal(f"'{plain}' is not a number: write it like 12, 12.5 or 1/2.")
    head, comma, tail = plain.partition(",")
    if comma and len(tail) == 3 and head.strip("0"):
        raise Refusal(f"'{plain}' can be read two ways: write {head}.{tail} or {head}{tail}.")
    return float(plain.replace(",", "."))


def parse_amount(text: str) -> Amount:
    """`12 gal`, `45 L`, `half`, `40%`, `24.3 lb gross`, `3 jugs`, `12` → Amount.

    A bare proper fraction is that share of what is named, like `half`.
    A word that is no unit is kept as the unit: it may be the label of a container, which only the rig knows.
    """
    plain = " ".join(text.split())
    for glyph, spelled in _GLYPHS.items():
        plain = re.sub(rf"(?<=[0-9]) ?{glyph}", f" {spelled}", plain).replace(glyph, spelled)
    share = parse_share(plain.lower())
    if share is not None:
        return Amount(share, PERCENT)
    match = _AMOUNT.fullmatch(plain)
    if match is None:
        raise Refusal(f"'{text}' is not an amount: write it like 12 gal, 45 L, half or 40%.")
    word = match[2].strip()
    return Amount(number(match[1]), unit_named(word) or word)


def parse_share(plain: str) -> float | None:
    """`half`, `3/4`, `3/4 full`, `half full` → percent; None for what is no share. `1/2 gal` and `2 1/2` are none."""
    if plain in _SHARES:
        return _SHARES[plain]
    part = plain.removesuffix(" full").removesuffix(" of it")
    fraction = _FRACTION.fullmatch(part)
    if fraction and not fraction[1] and 0 < int(fraction[2]) < int(fraction[3]):
        return 100 * int(fraction[2]) / int(fraction[3])
    return _SHARES[part] if part != plain and 0 < _SHARES.get(part, 0) < 100 else None


def convert(value: float, unit: str, measure: str, density: float | None) -> float:
    """A value in a unit of volume or mass → the canonical unit of `measure` ("volume": L, "mass": kg).

    `density` in kg/L carries a volume into a mass and back; without one such a unit is refused.
    """
    factor = VOLUME.get(unit) or MASS.get(unit)
    if factor is None:
        raise Refusal(f"'{unit}' is not a unit: use L, mL, gal, imp gal, qt, fl oz, kg, g, lb or oz.")
    if (unit in VOLUME) == (measure == "volume"):
        return value * factor
    if not density:
        raise Refusal(f"'{unit}' needs the density of this supply: add density = ... (kg/L) to its [[supply]].")
    return value * factor / density if measure == "volume" else value * factor * density


def shown(value: float, unit: str, measure: str, density: float | None) -> float:
    """A canonical value → the number to show in `unit` (the inverse of `convert`)."""
    return value / convert(1.0, unit, measure, density)


_NO_MINOR = {"JPY", "KRW", "CLP", "ISK", "VND"}
_MAJOR = "(?:bucks?|dollars?|euros?|pounds?)"
"""What people say behind a sum, of whatever money the rig counts in."""
_MONEY = re.compile(
    rf"(?:[$€£]|([A-Za-z]{{3}}) )?\s*([0-9]+(?:[.,][0-9]{{1,2}})?)\s*(?:{_MAJOR}|(c|ct|¢|[$€£]|[A-Za-z]{{3}}))?"
)


def minor_digits(currency: str) -> int:
    """Digits behind the decimal sign of a currency (ISO 4217, from memory)."""
    return 0 if currency in _NO_MINOR else 2


def parse_money(text: str, currency: str) -> int:
    """`3.50`, `$3.50`, `3,50 €`, `35c` → minor units of `currency`; Refusal for anything else."""
    match = _MONEY.fullmatch(text.strip())
    code = (match[1] or match[3] or "") if match else ""
    if match is None or (len(code) == 3 and code.upper() != currency):
        raise Refusal(f"'{text}' is not an amount of {currency}: write it like 3.50.")
    value = float(match[2].replace(",", "."))
    return round(value) if code in ("c", "ct", "¢") else round(value * 10 ** minor_digits(currency))


def money_text(minor: int, currency: str) -> str:
    """Minor units → `3.50`, the form log.csv and the screens use."""
    digits = minor_digits(currency)
    return f"{minor / 10**digits:.{digits}f}"


SIGNS = {"USD": "$", "EUR": "€", "GBP": "£", "CAD": "$", "AUD": "$"}
"""Currencies that have a sign of their own in front of the sum."""


def parse_price(text: str, currency: str, measure: str, density: float | None) -> float:
    """`35c/gal`, `0.25 per L` → minor units for one canonical unit of `measure`."""
    money, slash, unit = text.replace(" per ", "/").partition("/")
    named = unit_named(unit)
    if not slash or named is None:
        raise Refusal(f"'{text}' is not a price: write it like 35c/gal or 0.25/L.")
    return parse_money(money, currency) / convert(1.0, named, measure, density)
