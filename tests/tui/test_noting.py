"""Noting by letters: every path from keys to an entry, without a screen."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.lived import lived, walk
from tests.tui.walk import press as press_keys
from tests.tui.walk import screen, type_in
from tests.wording.example import NOW, rig
from vanlife_supply.actions import NOTED_AS, on_screen
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.model import Entry
from vanlife_supply.refusal import Refusal
from vanlife_supply.rig.load import read_rig
from vanlife_supply.rig.model import Arrangement
from vanlife_supply.tui.begun import completed
from vanlife_supply.tui.lines import plain
from vanlife_supply.tui.noting import Noting, begin, press, right_keys, to_entry
from vanlife_supply.tui.prompt import noting_foot, preview
from vanlife_supply.wording.entries import entry_line

IN_USE = {"fresh": "jug A", "grey": "gray jug", "stove_fuel": "canister 1", "propane": "cylinder"}


def typed(keys: str) -> Noting:
    """The state after these keys; the first is the verb."""
    n: Noting | None = begin(keys[0], rig(), IN_USE)
    for key in keys[1:]:
        assert n is not None
        n = press(n, key, key)
    assert n is not None
    return n


def noted(keys: str) -> Entry:
    """What Enter would note after these keys."""
    return to_entry(typed(keys), NOW)


@pytest.mark.parametrize(
    ("keys", "kind", "supply", "container", "to"),
    [
        ("fw", "fill", "fresh", "", "full"),
        ("fwb", "fill", "fresh", "jug B", "full"),
        ("d", "dump", "grey", "", "empty"),
        ("n", "next", "fresh", "", ""),
        ("na", "next", "stove_fuel", "", ""),
        ("xp", "ran-out", "propane", "", ""),
        ("fac", "fill", "stove_fuel", "can", "full"),
        ("fan", "fill", "stove_fuel", "", "full"),
        ("fpt", "exchange", "propane", "", ""),
    ],
)
def test_exact_events(keys: str, kind: str, supply: str, container: str, to: str) -> None:
    """Enter alone, after the letters, notes the exact event."""
    entry = noted(keys)
    assert (entry.kind, entry.supply, entry.container, entry.to) == (kind, supply, container, to)


def test_canister_is_filled_from_the_can() -> None:
    """`f a` pours from the can into the canister in use: nothing came aboard."""
    entry = noted("fa")
    assert (entry.kind, entry.container, entry.into) == ("pour", "can", "canister 1")
    assert noted("fab").into == "canister 2"


def test_half_is_said_of_the_jug_in_use() -> None:
    """`r w h` is half of the open jug, not of all water."""
    entry = noted("rwh")
    assert (entry.kind, entry.container, entry.amount, entry.unit, entry.method) == ("reading", "jug A", 50.0, "%", "sight")


def test_weight_is_gross_where_the_tare_is_known() -> None:
    """`r p 24.3` is the cylinder on the scale."""
    entry = noted("rp24.3")
    assert (entry.amount, entry.unit, entry.method) == (24.3, "lb gross", "scale")


def test_half_a_cylinder_is_no_weight() -> None:
    """`r p h` is half of the cylinder's contents, seen by eye."""
    entry = noted("rph")
    assert (entry.amount, entry.unit, entry.method) == (50.0, "%", "sight")


def test_amount_money_and_time() -> None:
    """`f w 12 3 last night` has all three."""
    entry = noted("fw12 3 last night")
    assert (entry.amount, entry.unit, entry.paid) == (12.0, "gal", 300)
    assert entry.at.local().isoformat() == "2026-05-06T21:00:00-06:00"


def test_time_word_is_finished() -> None:
    """`l` alone means last night; nothing else has to be typed."""
    assert noted("fwl").at == noted("fwlast night").at
    assert completed("12 3 la") == "12 3 last night"
    assert completed("2 gal yest") == "2 gal yesterday"
    assert completed("5 l") == "5 l"


@pytest.mark.parametrize("slip", ["m", "t", "w", "f", "s"])
def test_a_stray_letter_changes_no_day(slip: str) -> None:
    """The first letter of a weekday is no day: f w w is what f w is; two letters are."""
    assert (noted(f"fw{slip}").at, typed(f"fw{slip}").wrong) == (noted("fw").at, slip)
    assert noted("fwwe").at == noted("fwwed").at < noted("fw").at
    assert completed(f"12 {slip}") == f"12 {slip}"


@pytest.mark.parametrize(
    ("keys", "container", "tail"),
    [
        ("fwhalf", "", "half"), ("fwall", "", "all"), ("fwfull", "", "full"), ("fwbhalf", "jug B", "half"),
        ("rwhalf", "", "half"), ("rwquarter", "", "quarter"), ("rwempty", "", "empty"), ("fwwed", "", "wed"),
        ("fwal", "jug A", "l"), ("fwbl", "jug B", "l"), ("fanow", "", "now"),
    ],
)  # fmt: skip
def test_a_word_wins_over_its_letters(keys: str, container: str, tail: str) -> None:
    """A word typed out is that word, whatever its first letters mean alone; letters that mean something stay so."""
    n = typed(keys)
    assert (n.container, n.tail, n.wrong) == (container, tail, "")
    assert preview(n, NOW)[1]


def test_what_enter_would_finish_does_not_read_as_typed() -> None:
    """The word begun is set apart from what was typed, also where there are no colours."""
    assert "12 3 la▏ → last night" in plain(noting_foot(typed("fw12 3 la"), NOW, 80))
    assert "→" not in plain(noting_foot(typed("fw12 3 last night"), NOW, 80))


def test_cold_and_spilled() -> None:
    """Out or only too cold; used or spilled."""
    assert noted("xpc").word == "cold"
    assert (noted("ul1").kind, noted("ul1").amount) == ("spill", 1.0)
    shower = noted("us")
    assert (shower.kind, shower.word, shower.amount, shower.unit) == ("use", "shower", 1.0, "gal")


def test_wrong_letter_changes_nothing() -> None:
    """A wrong letter leaves everything as it was and is named."""
    before, after = typed("fw"), typed("fwz")
    assert after.wrong == "z"
    assert to_entry(before, NOW) == to_entry(after, NOW)
    assert {key for key, _ in right_keys(after)} >= {"a", "b", "Enter"}


def test_supply_must_be_said() -> None:
    """Enter does not note before it is clear what of."""
    assert preview(typed("f"), NOW) == ("Which one?", False)
    assert preview(typed("rw"), NOW)[1] is False


def test_too_much_is_answered_in_words() -> None:
    """A wrong amount is refused with what the container holds."""
    told, ready = preview(typed("fwb50"), NOW)
    assert not ready
    assert "jug B" in told and "5 gal" in told


def test_backspace_goes_back_step_by_step() -> None:
    """Backspace takes back the last thing said, at last the noting itself."""
    n: Noting | None = typed("fwb1")
    seen = []
    while n is not None:
        seen.append((n.supply, n.container, n.tail))
        n = press(n, "backspace", None)
    assert seen == [("fresh", "jug B", "1"), ("fresh", "jug B", ""), ("fresh", "", ""), ("", "", "")]


def test_arrows_choose_containers_and_ways() -> None:
    """Up and down choose the jug, left and right how it is meant, so that no letter is needed."""
    n = press(typed("fa"), "right", None)
    assert n is not None and to_entry(n, NOW).kind == "fill"
    n = press(typed("fw"), "down", None)
    assert n is not None and n.container == "jug A"


def test_own_supply_has_a_letter_of_its_own() -> None:
    """A supply the owner adds is noted like the others, under a letter nothing else uses."""
    its = read_rig(
        '[[supply]]\nname = "toilet"\ndirection = "fills"\n[[container]]\nsupply = "toilet"\ncapacity = "5 gal"\n'
    )
    n = begin("d", its, {})
    assert n.supply == "toilet"
    assert to_entry(n, NOW).to == "empty"


def test_a_rig_without_it_says_so() -> None:
    """One tank has no next; no gray, nothing to dump: both said in words."""
    tank = read_rig('[[container]]\nsupply = "fresh"\nlabel = "tank"\ncapacity = "20 gal"\nportable = false\n')
    with pytest.raises(Refusal, match="no spare container"):
        begin("n", tank, {})
    with pytest.raises(Refusal, match="nothing that could be dumped"):
        begin("d", tank, {})
    assert to_entry(begin("f", tank, {}), NOW).to == "full"


def test_any_keys_end_in_words() -> None:
    """Whatever is pressed, there is a preview in words and no fault (fixed seed)."""
    draw = random.Random(20260507)
    keys = "fwgap abcdhqtlnxz0123456789.,½ $-:;'\"\\é"
    for _ in range(400):
        n: Noting | None = begin(draw.choice("fdnxru"), rig(), draw.choice([IN_USE, {}]))
        for _ in range(draw.randrange(14)):
            key = draw.choice([*keys, "backspace", "up", "down", "left", "right"])
            n = press(n, key, key if len(key) == 1 else None) if n else None
            if n is None:
                break
            told, _ready = preview(n, NOW)
            assert told


PLACES = ("Old Mill", "Mill farm", "Red Rock dump station")


def at(keys: str, *more: str, past: tuple[Entry, ...] = ()) -> Noting:
    """The state after these keys where places are known, then named keys such as "down"."""
    n: Noting | None = begin(keys[0], rig(), IN_USE, PLACES, past)
    for key in (*keys[1:], *more):
        assert n is not None
        n = press(n, key, key if len(key) == 1 else None)
    assert n is not None
    return n


@pytest.mark.parametrize(
    ("keys", "more", "place"),
    [
        ("fw12 @", (), "Old Mill"), ("fw12 @", ("down",), "Mill farm"), ("fw12 @mi", (), "Mill farm"),
        ("fw12 @rock", (), "Red Rock dump station"), ("fw12 at red", (), "Red Rock dump station"),
        ("d@du", (), "Red Rock dump station"), ("fw12 @mi", ("down",), "Old Mill"), ("fw12 @Lake", (), "Lake"),
        ("fw12 last night @old", (), "Old Mill"), ("fw12", (), ""),
    ],
)  # fmt: skip
def test_a_place_on_the_spot(keys: str, more: tuple[str, ...], place: str) -> None:
    """@ or `at` and a letter or two mean a place, arrows the next that fits; what fits none is a new place."""
    entry = to_entry(at(keys, *more), NOW)
    assert entry.place == place
    assert entry.amount == (12.0 if "12" in keys else None)


def test_the_price_of_last_time_is_offered() -> None:
    """What was paid there is shown; $ notes the same price for this amount, a sum typed stands as typed."""
    before = to_entry(at("fw8 3.00 @old"), NOW)
    assert before.paid == 300
    shown = "".join(span.text for line in noting_foot(at("fw12 @old", past=(before,)), NOW, 80) for span in line)
    assert "Last time there $3.00 for 8 gal ($0.38/gal)" in " ".join(shown.split()) and "$ notes $4.50" in shown
    assert to_entry(at("fw12 $ @old", past=(before,)), NOW).paid == 450
    assert to_entry(at("fw$ @old", past=(before,)), NOW).paid == 300, "to the top: the same sum"
    assert to_entry(at("fw12 2.00 @old", past=(before,)), NOW).paid == 200
    assert to_entry(at("fw12 @old", past=(before,)), NOW).paid is None, "offered, never taken for granted"
    with pytest.raises(Refusal, match="type the sum"):
        to_entry(at("fw12 $ @red", past=(before,)), NOW)


def test_the_tail_may_be_a_price_or_an_emptying() -> None:
    """Key by key: what was paid at a price is an amount, and what came out may have been all."""
    fill = noted("fw$3 at 35c/gal")
    assert fill.said is not None and fill.place == "" and fill.paid == 300
    assert rig().canonical(fill.said, "fresh") == pytest.approx(300 / 35 * 3.785411784, rel=1e-3)
    assert noted("fw$3 35c/gal @Old Mill").place == "Old Mill"
    dump = noted("d2 gal now empty")
    assert (dump.amount, dump.unit, dump.to) == (2.0, "gal", "empty")


def test_a_use_is_as_large_as_it_was_noted() -> None:
    """The usual size until three of one's own were noted; then their median, said as such; a number always wins."""

    def shower(*sizes: str) -> Noting:
        past = tuple(build(Typed("use", "water", size, word="shower"), rig(), NOW) for size in sizes)
        return replace(typed("us"), past=past)

    def said(n: Noting) -> str:
        return " ".join(plain(noting_foot(n, NOW, 80)).split())

    for sizes in ((), ("0.7 gal", "0.8 gal"), ("1 gal",) * 5):
        assert str(to_entry(shower(*sizes), NOW).said) == "1 gal"
        assert "About 1 gal, as is usual" in said(shower(*sizes))
    own = shower("0.7 gal", "1 gal", "0.9 gal", "1 gal", "0.8 gal")
    assert str(to_entry(own, NOW).said) == "0.8 gal"
    assert "for shower" in said(own) and "About 0.8 gal, as you noted it 3 times" in said(own)
    assert str(to_entry(replace(own, tail="2 gal"), NOW).said) == "2 gal" and "About" not in said(replace(own, tail="2 gal"))


@pytest.mark.parametrize("width", [50, 80])
@pytest.mark.parametrize(
    "keys",
    ["fw40", "fw1,234", "rp3", "fw12 2026-05-09T10:00", "fw12 last nite", "dpmon 10:00 every second fortnight or so", "aw",
     "fw12 at 18:99", "fw$3 35c/gal twice over and then some more of it"],
)  # fmt: skip
def test_a_refusal_is_shown_whole(keys: str, width: int) -> None:
    """While noting, every word of why it cannot be is in sight, the end of what was typed too; Enter is not offered."""
    n = typed(keys)
    why, ready = preview(n, NOW)
    lines = plain(noting_foot(n, NOW, width))
    assert not ready and "Enter" not in lines
    assert why in " ".join(lines.split())
    assert f"{n.tail[-12:]}▏" in lines
    assert all(len(each) <= width for each in lines.splitlines())


def out_after(keys: str, *before: Typed) -> Entry:
    """What these keys after `x` note when that has been noted before."""
    past, its = tuple(build(said, rig(), NOW) for said in before), rig()
    n: Noting | None = begin("x", its, IN_USE, past=past, stood=(Arrangement(0.0, its),))
    for key in keys:
        assert n is not None
        n = press(n, key, key)
    assert n is not None
    return to_entry(n, NOW)


@pytest.mark.parametrize(
    ("keys", "before", "event"),
    [
        ("w", [Typed("fill", "water")], ("next", "", "jug B")),
        ("we", [Typed("fill", "water")], ("ran-out", "", "")),
        ("wa", [Typed("fill", "water")], ("ran-out", "jug A", "")),
        ("w", [Typed("fill", "water"), Typed("next", "water")], ("ran-out", "", "")),
        ("a", [Typed("fill", "alcohol")], ("next", "", "canister 2")),
        ("a", [Typed("fill", "alcohol"), Typed("next", "alcohol")], ("ran-out", "canister 2", "")),
        ("p", [Typed("fill", "propane")], ("ran-out", "", "")),
    ],
)  # fmt: skip
def test_a_full_jug_is_not_emptied_by_the_way(keys: str, before: list[Typed], event: tuple[str, str, str]) -> None:
    """Where another one still holds something, `x` alone is said of the one in use; `e` says that all is gone."""
    entry = out_after(keys, *before)
    assert (entry.kind, entry.container, entry.into) == event


def test_what_is_not_emptied_is_said(tmp_path: Path) -> None:
    """Before Enter the foot names the jug that stays full, or what should be left; the line in words what it would empty."""

    async def steps(pilot: Pilot[int]) -> None:
        await press_keys(pilot, "x w")
        seen = " ".join(screen(pilot).split())
        assert "jug A empty, jug B opened" in seen and "something is still in jug B: e if all of it is gone" in seen
        await press_keys(pilot, "escape x p")
        seen = " ".join(screen(pilot).split())
        assert "By what is known 8 to 15 lb should be left: c if it is only too cold." in seen
        await press_keys(pilot, "escape s")
        await type_in(pilot, "ran out of water")
        assert "still in jug B, gone too then" in " ".join(screen(pilot).split())

    walk(steps, lived(tmp_path / "log.db"))


EACH = {
    "half": "rwah", "quarter": "rwaq", "three_quarters": "rwat", "full": "rwaf", "empty": "rwae", "traded_in": "fpt",
    "just_bought": "fan", "plan_one": "dpmon", "too_cold": "xpc", "put_aside": "xwbs", "frozen": "awbf", "split": "awbs",
    "bad": "awbb", "shower": "us", "dishes": "ud", "wash": "uww", "coffee": "uc", "spilled": "ul1 gal",
}  # fmt: skip
"""The action of each letter of noting → keys that end in it, or go on from it."""


@pytest.mark.parametrize("group", NOTED_AS)
def test_every_letter_of_noting_notes_something_of_its_own(group: str) -> None:
    """Each means something no other does, and is among the keys offered where it fits; all out: see above."""
    actions = [a for a in on_screen(group) if a.id != "all_out"]
    entries = [noted(EACH[a.id]) for a in actions]
    told = [entry_line(entry, rig()) for entry in entries]
    assert len(set(told)) == len(told)
    for action in actions:
        before = EACH[action.id].partition(action.key)[0] if action.id in ("plan_one", "spilled") else EACH[action.id][:-1]
        offered = dict(right_keys(typed(before)))
        assert offered.get(action.key) == action.words or action.id in ("three_quarters", "full", "empty")


def test_the_next_one_is_named_before_enter() -> None:
    """`n` says which jug is opened, as far as the log knows; what is noted leaves it open."""
    its = rig()
    n = begin("n", its, IN_USE, past=(build(Typed("fill", "water"), its, NOW),), stood=(Arrangement(0.0, its),))
    assert "jug A empty, jug B opened" in preview(n, NOW)[0]
    entry = to_entry(n, NOW)
    assert (entry.kind, entry.container, entry.into) == ("next", "", "")
    assert "the next one opened" in preview(begin("n", its, IN_USE), NOW)[0]


@pytest.mark.parametrize("keys", ["fw", "uw", "xw", "rw", "fa", "xp", "fp"])
def test_no_letter_is_offered_twice(keys: str) -> None:
    """With jugs, canisters and cylinders A to D a letter never means a container and another thing at once."""
    lines = [f'[[container]]\nsupply = "{s}"\ncount = 4\ncapacity = "5 {u}"' for s, u in
             (("fresh", "gal"), ("stove_fuel", "L"), ("propane", "lb"))]  # fmt: skip
    n: Noting | None = begin(keys[0], read_rig("\n".join(lines)), {})
    for key in keys[1:]:
        assert n is not None
        n = press(n, key, key)
    assert n is not None
    offered = [key for key, _ in right_keys(n)]
    assert len(offered) == len(set(offered))
    if keys == "uw":
        coffee = press(n, "c", "c")
        assert dict(right_keys(n))["c"] == "coffee" and coffee is not None and coffee.option == "coffee"
