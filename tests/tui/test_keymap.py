"""Keys of one's own: read from a small file, clashes named, followed by the first screen, its hints and its sentences."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.fake import FakeDesk
from tests.tui.test_app import walk
from tests.tui.walk import press, screen
from vanlife_supply.actions import ACTIONS, key_of, keys_of, put_in_force, with_keys
from vanlife_supply.refusal import Refusal
from vanlife_supply.tui import app as the_app
from vanlife_supply.tui.keymap import read_keymap


@pytest.fixture(autouse=True)
def usual_keys() -> Iterator[None]:
    """Whatever a test puts in force is gone after it."""
    yield
    put_in_force(ACTIONS)


def test_hints_help_and_sentences_follow() -> None:
    """With other keys the old letter means nothing, the new one notes, and all that names a key names the new one."""
    put_in_force(read_keymap('filled = "5"\nundo = ["0", "f2"]\nmore = "f3"\n'))

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        assert "5 filled" in screen(pilot) and "0 undo" in screen(pilot) and "F3 more" in screen(pilot)
        await press(pilot, "f")
        assert "'f' means nothing here. F3 shows every key." in screen(pilot)
        await press(pilot, "5 w enter")
        assert [e.kind for e in desk.kept] == ["fill"]
        assert "0 takes it back" in " ".join(screen(pilot).split())
        await press(pilot, "f2")
        assert desk.kept == []
        await press(pilot, "f3")
        assert "5 " in screen(pilot)

    walk(steps)


def test_swapped_letters_are_no_clash() -> None:
    """Two actions may change places; the same key on two screens is no clash."""
    put_in_force(read_keymap('filled = "d"\ndumped = "f"\nmend = "z"\n'))
    assert keys_of("first")["d"] == "filled" and keys_of("first")["f"] == "dumped" and key_of("mend") == "z"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('filled = "d"\n', "D would be filled and dumped|d would be filled and dumped"),
        ('half = "5"\n', "half: only a letter"), ('frozen = "s"\n', "frozen and split"),
        ('fild = "5"\n', "'fild' is no action.*filled"),
        ('filled = "ctrl+f"\n', "'ctrl\\+f' is no key"),
        ("filled = 5\n", "filled: '5' is no key"),
        ("filled = []\n", "is no key"),
        ("filled =\n", "not readable"),
        ('down = "e"\nmend = "e"\n', "e would be"),
    ],
)
def test_bad_lines_get_a_sentence(text: str, said: str) -> None:
    """Each slip is refused in one sentence that names it."""
    with pytest.raises(Refusal, match=said):
        read_keymap(text)


def test_a_slip_keeps_nobody_from_noting(tmp_path: Path) -> None:
    """A bad file leaves the usual keys and says why; a good one beside the log is taken up."""
    file = tmp_path / "keys.toml"
    assert the_app._own_keys(file) == ""
    file.write_text('filled = "d"\n', encoding="utf-8")
    assert "The usual keys hold." in the_app._own_keys(file)
    assert keys_of("first")["f"] == "filled"
    file.write_bytes(b"\xff\xfe")
    assert "The usual keys hold." in the_app._own_keys(file)
    file.write_text('filled = "5"\n', encoding="utf-8")
    assert the_app._own_keys(file) == ""
    assert keys_of("first")["5"] == "filled"


def test_letters_while_noting_follow() -> None:
    """A supply goes by the letter that opens it; how full, how meant and what for by their own; no old one is left."""
    put_in_force(read_keymap(
        'closer_water = "k"\ncatch_up = "w"\nhalf = "m"\nshower = "j"\ntraded_in = "v"\ncloser_propane = "5"\n'
    ))  # fmt: skip

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "r")
        assert "k water" in screen(pilot)
        await press(pilot, "w")
        assert "'w' means nothing here" in " ".join(screen(pilot).split())
        await press(pilot, "k")
        assert "m half" in screen(pilot)
        await press(pilot, "m enter u j enter f p v enter")
        assert [(e.kind, e.supply, e.word) for e in desk.kept] == [
            ("reading", "fresh", ""), ("use", "fresh", "shower"), ("exchange", "propane", ""),
        ]  # fmt: skip

    walk(steps)


def test_no_sentence_names_an_old_key() -> None:
    """What tells of keys in a sentence tells of those in force."""
    put_in_force(read_keymap('filled = "5"\nlooked = "6"\nsay = "7"\nundo = "8"\nyes = "9"\ncloser_water = "4"\n'))

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        assert with_keys("{undo} takes it back") == "8 takes it back"
        await press(pilot, "m")
        told = " ".join(screen(pilot).split())
        assert "5 4 12 3 last night" in told
        for _ in range(12):
            await press(pilot, "right")
            told += " ".join(screen(pilot).split())
        assert "8 on the first screen brings it back" in told and "then 9 yes or n no" in told and "; z " not in told

    walk(steps)
    assert "{" not in "".join(with_keys(a.help) for a in ACTIONS)
