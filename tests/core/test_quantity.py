"""Units and typed amounts."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanlife_supply import constants
from vanlife_supply.quantity import (
    MASS,
    VOLUME,
    convert,
    minor_digits,
    money_text,
    number,
    parse_amount,
    parse_money,
    parse_price,
    shown,
    unit_named,
)
from vanlife_supply.refusal import Refusal

# NIST Handbook 44, Appendix C, section 4 (exact); imperial gallon: UK Weights and Measures Act 1985, from memory.
HANDBOOK_44 = {
    ("gal", "L"): 3.785411784,
    ("qt", "L"): 0.946352946,
    ("cup", "mL"): 236.5882365,
    ("fl_oz", "mL"): 29.5735295625,
    ("imp gal", "L"): 4.54609,
    ("lb", "kg"): 0.45359237,
    ("oz", "g"): 28.349523125,
}


@pytest.mark.parametrize(("pair", "factor"), HANDBOOK_44.items())
def test_units_are_those_of_the_handbook(pair: tuple[str, str], factor: float) -> None:
    """Every conversion is the published one to the last digit printed."""
    table = VOLUME if pair[0] in VOLUME else MASS
    assert table[pair[0]] / table[pair[1]] == pytest.approx(factor, rel=1e-12)


REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
REGISTRY.Quantity(1.0, "gallon").to("liter")  # its tables are built on first use
PINT = {
    "L": "liter", "mL": "milliliter", "gal": "gallon", "imp gal": "imperial_gallon", "qt": "quart",
    "cup": "cup", "fl_oz": "fluid_ounce", "kg": "kilogram", "g": "gram", "lb": "pound", "oz": "ounce",
}  # fmt: skip


@given(value=st.floats(1e-3, 1e4), unit=st.sampled_from(sorted(PINT)))
def test_a_units_library_agrees(value: float, unit: str) -> None:
    """pint, which knows nothing of us, converts to the same litres and kilograms."""
    canonical, measure = ("liter", "volume") if unit in VOLUME else ("kilogram", "mass")
    theirs = REGISTRY.Quantity(value, PINT[unit]).to(canonical).magnitude
    assert convert(value, unit, measure, None) == pytest.approx(theirs, rel=1e-9)


@given(value=st.floats(1e-3, 1e4), unit=st.sampled_from([*VOLUME, *MASS]), measure=st.sampled_from(["volume", "mass"]))
def test_showing_undoes_converting(value: float, unit: str, measure: str) -> None:
    """A number shown again in its own unit is the number typed."""
    assert shown(convert(value, unit, measure, 0.8), unit, measure, 0.8) == pytest.approx(value, rel=1e-12)


def test_a_gallon_of_propane_weighs_what_the_constants_say() -> None:
    """The one propane set is consistent: 4.2285 lb/gal and 21,637 Btu/lb make 91,491 Btu/gal (facts: computed from
    the reference equation of state, Lemmon et al. 2009; the federal energy office prints 91,452, within 0.05 %)."""
    pounds = convert(1.0, "gal", "mass", constants.PROPANE_KG_PER_LITRE) / constants.KG_PER_POUND
    assert pounds == pytest.approx(4.2285, abs=1e-9)
    assert pounds * constants.PROPANE_BTU_PER_LB == pytest.approx(91_491, rel=1e-3)
    assert pounds * constants.PROPANE_BTU_PER_LB == pytest.approx(91_452, rel=5e-4 + 5e-5)


def test_the_filling_limit_makes_a_twenty_pound_cylinder() -> None:
    """0.42 × 47.6 lb of water capacity is 19.992 lb (49 CFR 173.304a(d)(1))."""
    assert pytest.approx(19.992, abs=1e-9) == constants.PROPANE_FILLING_LIMIT * 47.6


@pytest.mark.parametrize(
    ("typed", "value", "unit"),
    [
        ("12 gal", 12, "gal"), ("45 L", 45, "L"), ("45l", 45, "L"), ("half", 50, "%"), ("a quarter", 25, "%"),
        ("40%", 40, "%"), ("24.3 lb gross", 24.3, "lb gross"), ("3 jugs", 3, "jugs"), ("12", 12, ""), ("1,5 L", 1.5, "L"),
        ("0,500 L", 0.5, "L"), ("2½ gal", 2.5, "gal"), ("1/2 gal", 0.5, "gal"), ("2 1/2 gal", 2.5, "gal"),
        (".5 gal", 0.5, "gal"), ("5 imp gal", 5, "imp gal"), ("6 fl oz", 6, "fl_oz"), ("1.234 L", 1.234, "L"),
    ],
)  # fmt: skip
def test_amounts_are_read_as_people_write_them(typed: str, value: float, unit: str) -> None:
    """Numbers, fractions, words, point or comma, any spelling of the unit."""
    amount = parse_amount(typed)
    assert amount.unit == unit
    assert amount.value == pytest.approx(value)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("1,234", "write 1.234 or 1234"), ("-3", "0 or more"), ("inf", "not an amount"),
        ("nan gal", "not an amount"), ("", "not an amount"), ("1.2.3", "not a number"), ("٣", "not an amount"),
    ],
)  # fmt: skip
def test_what_is_no_amount_is_refused_with_a_cure(typed: str, says: str) -> None:
    """Refused in one sentence that shows how to write it."""
    with pytest.raises(Refusal, match=says):
        number(typed) if typed.startswith("-") else parse_amount(typed)


def test_imperial_only_by_name() -> None:
    """A gallon is a US gallon; five imperial ones are six US ones to 0.1 %."""
    assert unit_named("gallons") == "gal"
    assert convert(5, "imp gal", "volume", None) == pytest.approx(convert(6, "gal", "volume", None), rel=2e-3)


@given(minor=st.integers(0, 10**9), currency=st.sampled_from(["USD", "EUR", "JPY"]))
def test_money_round_trips(minor: int, currency: str) -> None:
    """Money written out and read again is the same to the cent."""
    assert parse_money(money_text(minor, currency), currency) == minor


def test_money_and_prices() -> None:
    """Signs, cents and prices per unit; the wrong currency and nonsense are refused."""
    assert [parse_money(t, "USD") for t in ("3.50", "$3.50", "3,50", "35c", "USD 3")] == [350, 350, 350, 35, 300]
    assert [parse_money(t, "USD") for t in ("10 bucks", "1 dollar", "3.50 dollars", "10")] == [1000, 100, 350, 1000]
    assert minor_digits("JPY") == 0
    assert parse_price("35c/gal", "USD", "volume", None) == pytest.approx(35 / 3.785411784)
    for bad in ("3.505", "EUR 3", "three", ""):
        with pytest.raises(Refusal):
            parse_money(bad, "USD")
    for bad in ("35c", "35c/jug"):
        with pytest.raises(Refusal):
            parse_price(bad, "USD", "volume", None)


def test_a_bare_proper_fraction_is_a_share() -> None:
    """`3/4` is three quarters of what is named; with a unit, or after a whole number, it is a number."""
    said = {"3/4": (75, "%"), "¾": (75, "%"), "3/4 full": (75, "%"), "half full": (50, "%"), "nearly empty": (5, "%"),
            "1/2 gal": (0.5, "gal"), "2 1/2": (2.5, ""), "3/2": (1.5, "")}  # fmt: skip
    assert {text: (parse_amount(text).value, parse_amount(text).unit) for text in said} == said
