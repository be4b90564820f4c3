"""The app, walked through by keys: every action, at the usual size and the smallest."""

from __future__ import annotations

import asyncio
import random
import re
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot

from tests.tui.fake import FakeDesk, fake
from tests.tui.walk import SIZES, golden, opened, press, screen, settled, type_in
from tests.wording.example import NOW, rig
from vanlife_supply.actions import ACTIONS, CLOSER, ENTRIES, FIRST, MORE, PAGE, key_name, on_screen
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.tui.decide import Answered

Walk = Callable[[Pilot[int], FakeDesk], Awaitable[None]]


def walk(steps: Walk, desk: FakeDesk | None = None, size: tuple[int, int] = (80, 24)) -> FakeDesk:
    """Runs a walk on a desk of its own."""
    its = desk or fake()

    async def run() -> None:
        async with opened(its, size) as pilot:
            await steps(pilot, its)

    asyncio.run(run())
    return its


@pytest.mark.parametrize(
    ("keys", "kind", "supply", "said"),
    [
        ("f w enter", "fill", "fresh", "Noted: filled water to the top"),
        ("f w b enter", "fill", "fresh", "jug B"),
        ("d enter", "dump", "grey", "Noted: dumped gray empty"),
        ("n enter", "next", "fresh", "empty, the next one opened"),
        ("f a enter", "pour", "stove_fuel", "from can into canister 1"),
        ("r w h enter", "reading", "fresh", "jug A: half"),
        ("r p 2 4 full_stop 3 enter", "reading", "propane", "cylinder: 24.3 lb with its container"),
        ("x p enter", "ran-out", "propane", "ran out"),
        ("u s enter", "use", "fresh", "for shower"),
        ("f w 1 2 space 3 space l a s t space n i g h t enter", "fill", "fresh", "paid $3.00"),
    ],
)
@pytest.mark.parametrize("size", ["80x24", "50x20"])
def test_noting(keys: str, kind: str, supply: str, said: str, size: str) -> None:
    """The keys of the contract note exactly one entry, say so, and say what it did."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, keys)
        assert [(e.kind, e.supply) for e in desk.kept] == [(kind, supply)]
        shown = " ".join(screen(pilot).split())
        assert said in shown
        assert "z takes it back" in shown

    walk(steps, size=SIZES[size])


def test_quick_fingers_lose_no_key() -> None:
    """Keys that arrive all at once are taken in their order, from a page too."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        for burst in (["f", "w", "enter", "d", "enter"], ["g", "d", "enter"]):
            for key in burst:
                pilot.app.post_message(events.Key(key, key if len(key) == 1 else None))
            await pilot.pause(0.3)
            await settled(pilot)
            await press(pilot, "escape")
        for key in ["s", *"dumped", "enter"]:
            pilot.app.post_message(events.Key(key, key if len(key) == 1 else None))
        await pilot.pause(0.5)
        await settled(pilot)
        assert [e.kind for e in desk.kept] == ["fill", "dump", "dump", "dump"]

    walk(steps)


README = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
TOLD = {
    "filled all the water": ("fill", "fresh", ""), "filled only jug B": ("fill", "fresh", "jug B"),
    "12 gal for $3, last night": ("fill", "fresh", ""), "dumped the gray water": ("dump", "grey", ""),
    "a jug is empty, the next is open": ("next", "fresh", ""),
    "the jug in use looks half full": ("reading", "fresh", "jug A"),
    "weighed the cylinder": ("reading", "propane", "cylinder"),
    "filled a canister from the can": ("pour", "stove_fuel", "can"),
    "a jug split; the same keys bring it back": ("aside", "fresh", "jug B"),
    "a dump is planned for Monday": ("planned", "grey", ""),
    "food lasts till Thursday": ("limit", "", ""),
}  # fmt: skip


@pytest.mark.parametrize("what", list(TOLD))
def test_keystrokes_of_the_readme(what: str) -> None:
    """Every row of the README's table of keystrokes notes exactly what it says."""
    row = next(line for line in README.splitlines() if line.startswith(f"| {what} |"))
    names = {" ": "space", ".": "full_stop"}

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        for token in re.findall(r"`([^`]+)`", row):
            await pilot.press(*(["enter"] if token == "Enter" else [names.get(c, c) for c in token]))
        await settled(pilot)
        assert [(e.kind, e.supply, e.container) for e in desk.kept] == [TOLD[what]]

    walk(steps)


def test_undo_and_redo_say_what() -> None:
    """z takes the last entry back and says what it was, y notes it again."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "d enter z")
        assert desk.kept == []
        assert "Taken back: dumped gray empty" in screen(pilot)
        await press(pilot, "y")
        assert [e.kind for e in desk.kept] == ["dump"]
        await press(pilot, "z z")
        assert "nothing to take back" in screen(pilot)

    walk(steps)


def test_effect_is_said_after_an_entry() -> None:
    """One line says what the entry did to its supply and what comes first now."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "f w enter")
        assert "Water: count on 4½ days as before. First is still gray" in " ".join(screen(pilot).split())

    walk(steps)


def test_wrong_letter_names_the_right_ones() -> None:
    """A wrong letter notes nothing, changes nothing, and the right ones stand there."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "f 5")
        shown = screen(pilot)
        assert "'5' means nothing here" in shown and "w water" in shown and "p propane" in shown
        await press(pilot, "escape 5")
        assert "'5' means nothing here" in screen(pilot)
        assert desk.kept == []

    walk(steps)


def test_caution_is_shown_at_the_act_only() -> None:
    """Filling a canister shows its caution before Enter; the first screen never does."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        assert "Burner out" not in screen(pilot)
        await press(pilot, "f a")
        assert "Burner out and cool?" in screen(pilot)
        await press(pilot, "enter")
        assert "Burner out" not in screen(pilot)

    walk(steps)


def test_sees_what_is_written_elsewhere() -> None:
    """An entry written by another program is on the screen within a poll."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        desk.outside(build(Typed("dump", "grey"), fake().rig, NOW))  # type: ignore[arg-type]  # the fake has a rig
        await pilot.pause(1.0)
        await settled(pilot)
        assert "Dumped gray empty" in screen(pilot)

    walk(steps, size=(120, 40))


def test_say_it() -> None:
    """A whole phrase is understood while it is typed, and kept with Enter."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "s " + " ".join("space" if c == " " else c for c in "filled water b 5 last n"))
        assert "Added 5 gal of water to jug B" in screen(pilot)
        await press(pilot, "enter")
        assert [(e.kind, e.container, e.amount) for e in desk.kept] == [("fill", "jug B", 5.0)]

    walk(steps)


def test_say_it_wrong_is_answered_in_words() -> None:
    """What is not understood is not kept; the nearest right word is named."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "s d u m p t enter")
        assert "did you mean 'dump" in screen(pilot)
        await press(pilot, "escape")
        assert desk.kept == []

    walk(steps)


def test_heater_by_letter() -> None:
    """`h h Enter` puts the heater on; `h h sun` until Sunday."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "h h enter")
        assert [(e.kind, e.word) for e in desk.kept] == [("condition", "heater")]
        await press(pilot, "h a space s u n enter")
        assert desk.kept[-1].word == "away" and desk.kept[-1].until is not None
        await press(pilot, "h g space 2 space s u n enter")
        assert (desk.kept[-1].kind, desk.kept[-1].amount) == ("people", 3.0)  # one lives here, two are guests
        await press(pilot, "s")
        await type_in(pilot, "guest until sunday")
        await press(pilot, "enter")
        assert (desk.kept[-1].kind, desk.kept[-1].amount) == ("people", 2.0)
        await press(pilot, "h g")
        assert "guests are aboard" in screen(pilot) and "1 person aboard" in screen(pilot)
        await press(pilot, "enter")
        last = desk.kept[-1]
        assert (last.kind, last.amount, last.until is None) == ("people", 1.0, True)

    walk(steps)


def test_entries_mend_take_out_settle() -> None:
    """In the list an entry is mended, taken out, called right; each says what it did."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "f w 1 3 enter d enter e")
        assert "Dumped gray empty" in screen(pilot)
        await press(pilot, "x")
        assert "Take out: dumped gray empty" in screen(pilot)
        assert len(desk.kept) == 2
        await press(pilot, "enter")
        assert [e.kind for e in desk.kept] == ["fill"]
        assert "Taken out: dumped gray empty" in screen(pilot)
        assert "looks odd" not in screen(pilot)
        await press(pilot, "down r enter")
        assert "Settled" in screen(pilot) and desk.kept[0].settled == "real"
        await press(pilot, "r")
        assert "Nothing looks odd" in screen(pilot)
        await press(pilot, "m end" + " backspace" * 30 + " f i l l e d space w a t e r space 3 space g a l enter enter")
        assert desk.kept[0].amount == 3.0
        await press(pilot, "up escape")
        assert "Count on" in screen(pilot)

    walk(steps)


def test_mending_offers_the_entry_in_words() -> None:
    """The line to mend says what the entry says; Enter alone changes nothing."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "s")
        await type_in(pilot, "heater off")
        await press(pilot, "enter")
        before = desk.kept[-1]
        await press(pilot, "e m")
        assert "heater off" in screen(pilot)
        await press(pilot, "enter")
        assert "stays as it was" in screen(pilot) and desk.kept[-1] == before

    walk(steps)


def test_a_stop_in_one_round() -> None:
    """Time and place once, Enter takes gray and water as done, alcohol is skipped, propane in pounds: one act."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "o")
        await type_in(pilot, "1h ago, Riverside")
        await press(pilot, "enter")
        assert "local rules decide" in screen(pilot)
        await press(pilot, "enter")
        assert "local rules" not in screen(pilot)
        await type_in(pilot, "9 gal $3")
        assert "Added 9 gal of water, paid $3.00" in screen(pilot)
        await press(pilot, "enter")
        assert "Burner" not in screen(pilot)
        await press(pilot, "enter")
        await type_in(pilot, "12 lb")
        assert "Never over the 80% mark" in screen(pilot)
        await press(pilot, "enter")
        assert [(e.kind, e.supply, e.place) for e in desk.kept] == [
            ("dump", "grey", "Riverside"), ("fill", "fresh", "Riverside"), ("fill", "propane", "Riverside"),
        ]  # fmt: skip
        assert {e.at.local().hour for e in desk.kept} == {18}
        assert desk.kept[1].paid == 300
        assert "And 2 more" in screen(pilot)

    walk(steps)


def test_catching_up_in_three_questions() -> None:
    """Filled, dumped, what is in each jug; Enter alone says no; Esc leaves with nothing noted."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "k escape")
        assert desk.kept == []
        await press(pilot, "k y enter")
        assert "When? Say tue" in screen(pilot)
        await press(pilot, "escape t u e enter enter")
        await type_in(pilot, "a empty, b half")
        await press(pilot, "enter")
        assert [(e.kind, e.container, e.amount) for e in desk.kept] == [
            ("fill", "", None), ("reading", "jug A", 0.0), ("reading", "jug B", 50.0),
        ]  # fmt: skip

    walk(steps)


def test_set_up_in_a_few_lines() -> None:
    """From nothing to a rig with what is in it: seven lines, each ended by Enter, no other keys than the words."""
    answers = (
        "1 and a dog 50 lb", "7 gal half, 5 gal full", "sunday", "10", "6 gal, 2 in it", "2 x 1.2 L full, can 1 gal half",
        "20 lb TW 17.1 weighs 24.3",
    )  # fmt: skip

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        assert "What do you carry?" in screen(pilot)
        for answer in answers:
            await type_in(pilot, answer)
            await press(pilot, "enter")
        assert "Count on" in screen(pilot)
        assert desk.rig is not None
        assert [c.label for c in desk.rig.of("fresh")] == ["7 gal jug", "5 gal jug"]
        assert [(e.kind, e.container) for e in desk.kept[:2]] == [("fill", ""), ("reading", "7 gal jug")]

    walk(steps, FakeDesk(None))


def test_set_up_takes_dont_know_everywhere() -> None:
    """Every line may stay empty or say don't know; only something to carry is asked for, in words."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "enter")
        await type_in(pilot, "two jugs")
        await press(pilot, "enter")
        assert "has no size" in screen(pilot)
        for _ in "two jugs":
            await pilot.press("backspace")
        await press(pilot, "enter")
        assert "Gray" in screen(pilot)
        await type_in(pilot, "6 gal don't know")
        await press(pilot, "enter enter enter")
        assert desk.rig is not None and [s.name for s in desk.rig.supplies] == ["grey"]
        assert desk.kept == []

    walk(steps, FakeDesk(None))


def test_leaving_set_up_keeps_nothing() -> None:
    """Esc on the first line leaves the app without a rig."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "escape")
        assert desk.rig is None and pilot.app._exit

    walk(steps, FakeDesk(None))


def test_look_closer_and_back() -> None:
    """A supply's letter opens it, digits open the things to do, m the keys; Esc comes back."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        pages = {"w": "Out about", "g": "Full about", "a": "canister 2", "p": "guess", "m": "Press the letter"}
        for key, said in {**pages, "1": "keep 1 gal", "2": "Noted so far", "3": "Weighing"}.items():
            await press(pilot, key)
            assert said in " ".join(screen(pilot).split()), key
            await press(pilot, "down up escape")
            assert "Count on 2½ days" in screen(pilot)

    walk(steps)


def test_ask_before_acting() -> None:
    """`c s Enter` answers, n notes it; Enter pressed again, another question or Esc notes nothing."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "c s enter")
        assert "Answer to s." in screen(pilot) and "n notes it as done" in screen(pilot)
        await press(pilot, "enter enter")
        assert desk.kept == [] and "Answer to s." in screen(pilot)
        await press(pilot, "n")
        assert [(e.kind, e.word) for e in desk.kept] == [("use", "shower")]
        await press(pilot, "c l enter enter up down escape")
        assert len(desk.kept) == 1
        await press(pilot, "c")
        await type_in(pilot, "nonsense")
        await press(pilot, "enter")
        assert "nothing I can answer" in screen(pilot)
        await press(pilot, "escape b")
        assert screen(pilot).startswith(" Make it last")
        await type_in(pilot, "w sun")
        await press(pilot, "enter")
        assert "Answer to b w sun." in screen(pilot)
        await press(pilot, "escape t")
        assert "Answer to town." in screen(pilot)
        await press(pilot, "escape")
        assert "Count on" in screen(pilot)

    walk(steps)


def test_a_wide_answer_is_shown_where_its_table_fits() -> None:
    """The sentence above a table may be broken, the table may not: its wide form stands at 80 columns, not at 50."""

    class Asked(FakeDesk):
        def decide(self, asked: str) -> Answered:
            return Answered("narrow", wide=f"{'a word ' * 14}\n{'wide '.ljust(60, '-')}\n")

    async def run(columns: int) -> str:
        async with opened(Asked(rig()), (columns, 24)) as pilot:
            await press(pilot, "c l enter")
            return screen(pilot)

    assert "wide -" in asyncio.run(run(80)) and "narrow" in asyncio.run(run(50))


def test_noting_from_a_page() -> None:
    """From a page to read, a noting key goes straight to noting on the first screen."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "g d enter")
        assert [e.kind for e in desk.kept] == ["dump"]
        assert "Noted: dumped gray empty" in screen(pilot)

    walk(steps)


def test_colours_come_round_and_are_remembered() -> None:
    """v changes night, day, the terminal's own; the choice is kept with the log."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        assert pilot.app.theme == "night"
        await press(pilot, "v")
        assert "Colours: for the day" in screen(pilot) and desk.settings == {"colours": "day"}
        await press(pilot, "v")
        assert "the terminal's own" in screen(pilot)
        await press(pilot, "v")
        assert pilot.app.theme == "night"

    desk = walk(steps)
    desk.settings["colours"] = "day"

    async def again(pilot: Pilot[int], desk: FakeDesk) -> None:
        assert pilot.app.theme == "day"

    walk(again, desk)


def test_everything_by_tapping() -> None:
    """A tap on a hint does what its key does, while noting too."""

    async def tap(pilot: Pilot[int], words: str) -> None:
        lines = screen(pilot).splitlines()
        y = max(i for i, each in enumerate(lines) if words in each)
        await pilot.click(offset=(lines[y].index(words) + 1, y))
        await settled(pilot)

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        for words in ("f filled", "w water", "b jug B", "Enter note it"):
            await tap(pilot, words)
        assert [(e.kind, e.container) for e in desk.kept] == [("fill", "jug B")]
        await tap(pilot, "z undo")
        assert desk.kept == []
        await tap(pilot, "Propane  11½ lb")
        assert "Out about" in screen(pilot)
        await tap(pilot, "Esc back")
        assert "Count on" in screen(pilot)
        await tap(pilot, "1 Gray: dump")
        assert "Worth doing" in screen(pilot)

    walk(steps)


def test_another_question_is_typed_over_the_last() -> None:
    """With an answer on the screen a letter begins anew, a blank goes on; the figures stay in sight; one Esc leaves."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "c")
        assert "v   verdicts" in screen(pilot) and "→Gray    room 2.5 gal  2½ days" in screen(pilot)
        await press(pilot, "s enter g enter")
        assert "Answer to g." in screen(pilot) and "→Gray    room 2.5 gal  2½ days" in screen(pilot)
        await press(pilot, "space s u n enter")
        assert "Answer to g sun." in screen(pilot)
        await press(pilot, "escape")
        assert "f filled" in screen(pilot)

    walk(steps)


def test_words_are_finished_while_typing() -> None:
    """In the line the rest of a word stands ready; the right arrow takes it."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "s")
        await type_in(pilot, "filled wa")
        await press(pilot, "right enter")
        assert [(e.kind, e.supply) for e in desk.kept] == [("fill", "fresh")]

    walk(steps)


def test_palette_offers_the_registry() -> None:
    """The palette finds an action by its words and runs it."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "ctrl+p")
        await type_in(pilot, "town")
        await pilot.pause(0.6)
        await press(pilot, "enter enter")
        await pilot.pause(0.3)
        assert "Answer to town" in screen(pilot)

    walk(steps)


def test_quit() -> None:
    """q leaves."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await pilot.press("q")
        assert pilot.app._exit

    walk(steps)


WALKED = {
    FIRST: [*"fdnxruzycbtsokhemvq123wgapilj", "question_mark", "f4", "right"],
    MORE: ["a", "p", "l", "r"],
    PAGE: ["up", "down", "left", "right", "home", "end", "question_mark", "escape"],
    CLOSER: ["y", "k"],
    ENTRIES: ["m", "x", "r", "k", "a", "f", "enter"],
}


def test_every_action_is_walked() -> None:
    """No action of the registry is without a walk above, or beside the closer page."""
    for where, keys in WALKED.items():
        assert {a.key for a in on_screen(where)} == set(keys)
    assert len({a.id for a in ACTIONS}) == len(ACTIONS)


def test_no_key_means_two_things() -> None:
    """On one screen a key has one meaning."""
    for where in (FIRST, ENTRIES):
        keys = [k for a in on_screen(where) for k in a.keys]
        assert len(keys) == len(set(keys))
        assert all(len(key_name(k)) <= 5 for k in keys)


SCREENS = {
    "first": "", "noting": "f w b 5", "canister": "f a", "which": "r", "message": "d enter",
    "entries": "d enter f w enter e",
    "rest": "right", "closer": "w", "thing": "1", "keys": "m", "saying": "s", "spans": "h", "deciding": "c",
    "stop": "o", "catch-up": "k", "answer": "c s enter",
}  # fmt: skip


@pytest.mark.parametrize("size", list(SIZES))
@pytest.mark.parametrize("name", list(SCREENS))
def test_screens_as_text(name: str, size: str) -> None:
    """Every screen at three sizes is what the reviewed dump shows, no line wider than the terminal."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        if SCREENS[name]:
            await press(pilot, SCREENS[name])
        text = screen(pilot)
        assert max(len(each) for each in text.splitlines()) <= SIZES[size][0]
        golden(f"{name}-{size}", text)

    walk(steps, size=SIZES[size])


@pytest.mark.parametrize("name", list(SCREENS))
def test_no_color_is_colourless(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR the same words and glyphs are drawn, and nothing has a colour."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        if SCREENS[name]:
            await press(pilot, SCREENS[name])
        golden(f"{name}-80x24", screen(pilot))
        for strip in pilot.app.screen._compositor.render_strips():
            for segment in strip:
                colours = (segment.style.color, segment.style.bgcolor) if segment.style else ()
                assert all(colour is None or colour.is_default for colour in colours), segment

    walk(steps)


def test_colours_are_there_otherwise() -> None:
    """Without NO_COLOR the bars are coloured, so that the test above can fail."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        styles = [s.style for strip in pilot.app.screen._compositor.render_strips() for s in strip if s.style]
        assert any(style.color and not style.color.is_default for style in styles)

    walk(steps)


def test_any_keys_any_size() -> None:
    """Pressing anything at any size, one cell by one up to 200 by 60, leaves the app standing (fixed seed)."""
    draw = random.Random(7)
    keys = [*"fdnxruzyshem123wgapqjbcko.5 ", "enter", "enter", "escape", "backspace", "up", "down", "left", "right", "f1"]
    keys.remove("q")

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        for round_ in range(130):
            if round_ % 10 == 0:
                size = (1, 1) if round_ == 50 else (draw.randrange(1, 200), draw.randrange(1, 60))
                await pilot.resize_terminal(*size)
            key = draw.choice(keys)
            await pilot.press("space" if key == " " else "full_stop" if key == "." else key)
            assert not pilot.app._exit
        await pilot.resize_terminal(80, 24)
        await press(pilot, "escape escape escape escape")
        assert "Count on" in screen(pilot)

    walk(steps)
