"""How amounts, rates and chances are said."""

from __future__ import annotations

from fractions import Fraction

from vanlife_supply.forecast.model import Band
from vanlife_supply.quantity import SIGNS, money_text, shown
from vanlife_supply.rig.model import Supply

HALVES = {"lb", "day", "days", "week", "weeks"}
"""Units said in halves; the others with one decimal."""

_ODDS = (
    Fraction(1, 20), Fraction(1, 10), Fraction(1, 5), Fraction(1, 4), Fraction(1, 3), Fraction(1, 2),
    Fraction(2, 3), Fraction(3, 4), Fraction(4, 5), Fraction(9, 10), Fraction(19, 20),
)  # fmt: skip


def halves(value: float) -> str:
    """To the nearest half: 0, ½, 1, 1½."""
    doubled = round(value * 2)
    whole, half = divmod(doubled, 2)
    if not half:
        return str(whole)
    return f"{whole}½" if whole else "½"


def number(value: float, unit: str = "") -> str:
    """A number as a person would say it in that unit: 2.5, 12, 11½, 0.07."""
    if unit in HALVES and value >= 2:
        return halves(value)
    if 0 < value < 0.095:
        return f"{value:.2f}".rstrip("0") if value >= 0.005 else "0"
    if value >= 9.95:
        return f"{value:.0f}"
    return f"{value:.1f}".removesuffix(".0")


def amount(value: float, supply: Supply) -> str:
    """A canonical amount in the supply's display unit: `2.5 gal`, `11½ lb`."""
    return f"{bare(value, supply)} {supply.unit}"


def as_weighed(value: float, supply: Supply) -> str:
    """`amount` to a tenth, where it was measured just now: `9.3 lb`."""
    return f"{number(max(0.0, shown(value, supply.unit, supply.measure, supply.density)))} {supply.unit}"


def sized(label: str, capacity: float, supply: Supply) -> str:
    """`jug A 7 gal`; `7 gal jug` as it is, its name says its size."""
    size = amount(capacity, supply)
    return label if label.lower().startswith(f"{size} ".lower()) else f"{label} {size}"


def bare(value: float, supply: Supply) -> str:
    """The number of `amount` without its unit."""
    return number(max(0.0, shown(value, supply.unit, supply.measure, supply.density)), supply.unit)


def rate(value: float, supply: Supply) -> str:
    """A canonical amount a day, the number alone, two figures when small: 1.1, 0.35, 0.07."""
    told = max(0.0, shown(value, supply.unit, supply.measure, supply.density))
    return f"{told:.2f}".rstrip("0").rstrip(".") if told < 0.995 else number(told)


def spread(band: Band, supply: Supply) -> str:
    """`4.5 to 6.5 gal`, or one amount when both ends say the same."""
    if band.p10 is None or band.p90 is None:
        return "not known"
    low, high = bare(band.p10, supply), bare(band.p90, supply)
    return f"{low} {supply.unit}" if low == high else f"{low} to {high} {supply.unit}"


def chance(p: float) -> str:
    """A probability in whole chances: `3 chances in 4`, `an even chance`, `almost certain`."""
    if p >= 0.975:
        return "almost certain"
    if p < 0.03:
        return "hardly any chance"
    odds = min(_ODDS, key=lambda f: abs(float(f) - p))
    if odds == Fraction(1, 2):
        return "an even chance"
    noun = "chance" if odds.numerator == 1 else "chances"
    return f"{odds.numerator} {noun} in {odds.denominator}"


def counted(count: int, noun: str) -> str:
    """`1 night`, `4 nights`."""
    return f"{count} {noun}{'' if count == 1 else 's'}"


def money(minor: int, currency: str) -> str:
    """Minor units with the sign of the currency, or its code: `$3.50`, `12.00 CHF`."""
    told = money_text(minor, currency)
    sign = SIGNS.get(currency)
    return f"{sign}{told}" if sign else f"{told} {currency}"
