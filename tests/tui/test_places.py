"""Places and the next stop on the screen: every action walked on a real log, three sizes compared."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.lived import Steps, lived
from tests.tui.lived import walk as lived_walk
from tests.tui.walk import SIZES, golden, press, screen, type_in
from tests.wording.example import NOW
from vanlife_supply.actions import PLACE, PLACES, STOP, on_screen
from vanlife_supply.keeping import places as kept
from vanlife_supply.logbook import Logbook
from vanlife_supply.resupply import Atlas, atlas, staying

WALKED = {PLACES: ["enter", *"wgaptn"], PLACE: [*"wgaptynxhsfd"], STOP: ["enter", *"ox"]}


def walk(steps: Steps, path: Path, size: tuple[int, int] = (80, 24)) -> Atlas:
    """Runs a walk on the log at `path` → what the log then knows of places."""
    lived_walk(steps, path, size)
    with Logbook.open(path) as book:
        return atlas(book, NOW)


def test_every_action_is_walked() -> None:
    """No action of these screens is without a walk below, and no key means two things."""
    for where, keys in WALKED.items():
        assert [a.key for a in on_screen(where)] == list(dict.fromkeys(k for a in on_screen(where) for k in a.keys))
        assert {a.key for a in on_screen(where)} == set(keys)


@pytest.mark.parametrize(
    ("key", "there", "not_there"),
    [
        ("w", "Old Mill", "Canyon store"), ("g", "Red Rock", "Canyon store"), ("t", "Red Rock", "Old Mill"),
        ("p", "Canyon store", "Old Mill"), ("a", "No place known gives", "Old Mill"),
    ],
)  # fmt: skip
def test_filter_by_one_letter(key: str, there: str, not_there: str, tmp_path: Path) -> None:
    """A letter leaves only the places for that; the same letter again shows all."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, f"l {key}")
        assert there in screen(pilot) and not_there not in screen(pilot)
        await press(pilot, key)
        assert "Places: 3" in screen(pilot)

    walk(steps, lived(tmp_path / "log.db"))


def test_the_first_screen_says_where_to(tmp_path: Path) -> None:
    """With places the first screen has the next stop in a line, a tap opens it; a fill is noted at a place on the spot."""
    path = lived(tmp_path / "log.db")

    async def steps(pilot: Pilot[int]) -> None:
        assert "Next stop: Old Mill, by" in screen(pilot)
        await pilot.press(*"fw5 @red")
        await press(pilot, "")
        assert "at Red Rock dump station" in screen(pilot)
        await press(pilot, "enter i")
        assert screen(pilot).startswith(" Next stop\n")

    known = walk(steps, path)
    assert known.answer(known.find("Red Rock"), "fresh").own

    async def narrow(pilot: Pilot[int]) -> None:
        assert "Next stop: Old Mill, by" in screen(pilot) and "1 " in screen(pilot)

    walk(narrow, path, (50, 20))


def test_a_stop_at_a_place_known_by_a_part_of_its_name(tmp_path: Path) -> None:
    """In the round at a stop a name begun means the one place that has it; no second place is made."""
    path = lived(tmp_path / "log.db")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "o")
        await type_in(pilot, "an hour ago, red rock")
        for _ in range(8):
            await press(pilot, "enter")

    known = walk(steps, path)
    assert [p.name for p in known.places] == ["Old Mill", "Red Rock dump station", "Canyon store"]
    assert "dump" in [e.kind for e in known.visits[known.find("Red Rock").id]]


def test_needed_first_comes_first(tmp_path: Path) -> None:
    """Gray stops the stay first: a place where the person dumped stands above one to ask, and above a nearer one without."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "l")
        shown = screen(pilot)
        assert shown.index("Old Mill") < shown.index("Red Rock") < shown.index("Canyon store")

    walk(steps, lived(tmp_path / "log.db"))


def test_one_place_in_full(tmp_path: Path) -> None:
    """Its own text, its tags in words and what was done there stand on its page."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "l down enter")
        assert "Ask at the office before noon" in screen(pilot)
        await press(pilot, "escape up enter")
        shown = screen(pilot)
        assert "it costs something" in shown and "$3.00" in shown and "behind the shed" in shown

    walk(steps, lived(tmp_path / "log.db"))


def test_yes_and_no_by_letter(tmp_path: Path) -> None:
    """A letter and y or n keep what was found; y alone, or Esc after the letter, keeps nothing; z takes it back."""
    path = lived(tmp_path / "log.db")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "l down enter y")
        assert "First the letter" in screen(pilot)
        for keys, asked in (("a", "Alcohol at"), ("p", "Propane at"), ("t", "Toilet at"), ("w", "Water at")):
            await press(pilot, keys)
            assert f"{asked} Red Rock dump station?" in screen(pilot)
            await press(pilot, "escape")
        await press(pilot, "g y w n")
        assert "Noted: water no." in screen(pilot)

    known = walk(steps, path)
    place = known.find("Red Rock")
    assert (known.answer(place, "grey").word, known.answer(place, "fresh").word) == ("yes", "no")
    assert known.answer(place, "grey").own and not known.answer(place, "propane").own

    async def back(pilot: Pilot[int]) -> None:
        await press(pilot, "z")
        assert "Taken back" in screen(pilot)

    assert not walk(back, path).answer(place, "fresh").own


def test_did_not_work_proposes_another_at_once(tmp_path: Path) -> None:
    """One key on the place's page notes it and shows where else to go."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "l enter x")
        shown = screen(pilot)
        assert "Red Rock dump station, by" in shown and "Old Mill did not work" in shown

    known = walk(steps, lived(tmp_path / "log.db"))
    assert known.answer(known.find("Old Mill"), "grey").word == "no"


def test_noting_at_a_place(tmp_path: Path) -> None:
    """Here, a fill and a dump noted on a place's page are of that place, and say yes for the next time."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "l down enter h")
        await press(pilot, "d")
        await type_in(pilot, "gray")
        await press(pilot, "enter f")
        await type_in(pilot, "water 4 gal 2.00")
        await press(pilot, "enter")
        assert "(filled there). Paid $2.00 today." in screen(pilot)

    known = walk(steps, lived(tmp_path / "log.db"))
    place = known.find("Red Rock")
    assert known.position is not None and known.position.place.id == place.id
    assert [e.kind for e in known.visits[place.id]] == ["dump", "fill"]
    assert known.answer(place, "grey").own and known.cost(place, "fresh").paid == 200


def test_a_stay_limit_and_its_clock(tmp_path: Path) -> None:
    """s and the rule in words, h starts its clock; the page tells until when; `none` takes the limit away."""
    path = lived(tmp_path / "log.db")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "l down enter s")
        await type_in(pilot, "14 moons")
        assert "is not understood" in screen(pilot)
        for _ in range(8):
            await press(pilot, "backspace")
        await type_in(pilot, "14 days in 28")
        await press(pilot, "enter")
        assert "arriving now one may stay till Thu 21 May" in " ".join(screen(pilot).split())
        await press(pilot, "h")
        assert "0 of 14 days used, here since Thu 7 May" in " ".join(screen(pilot).split())

    walk(steps, path)
    with Logbook.open(path) as book:
        assert [stay.said for stay in [staying(book, NOW)] if stay] == ["14 days in 28"]

    async def drop(pilot: Pilot[int]) -> None:
        await press(pilot, "l down enter s")
        await type_in(pilot, "none")
        await press(pilot, "enter")
        assert "Stay limit" not in screen(pilot)
        await press(pilot, "s")
        await type_in(pilot, "none")
        await press(pilot, "enter")
        assert "has no stay limit to drop" in screen(pilot)

    walk(drop, path)


def test_a_new_place_here_by_name(tmp_path: Path) -> None:
    """On a log without places: n and a name, then what it gives; the distance counts from there."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "l")
        assert "No place is known yet. n keeps the place where you are." in " ".join(screen(pilot).split())
        assert "n new one here" in screen(pilot) and "w water" not in screen(pilot)
        await press(pilot, "n")
        await type_in(pilot, "Spring at the pass")
        await press(pilot, "enter w y escape")
        assert "Spring at the pass" in screen(pilot) and "here" in screen(pilot)

    known = walk(steps, lived(tmp_path / "log.db", with_places=False))
    place = known.find("Spring at the pass")
    assert known.answer(place, "fresh").word == "yes"
    assert known.position is not None and known.position.place.id == place.id


def test_the_next_stop_and_what_if_it_fails(tmp_path: Path) -> None:
    """Enter opens the place, o the other one, x notes that it did not work and shows another."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "i")
        assert "Old Mill, by" in screen(pilot) and "If it is closed: Red Rock" in screen(pilot)
        await press(pilot, "enter")
        assert screen(pilot).startswith(" Old Mill\n")
        await press(pilot, "escape o")
        assert screen(pilot).startswith(" Red Rock dump station\n")
        await press(pilot, "escape x")
        assert "Red Rock dump station, by" in screen(pilot)

    walk(steps, lived(tmp_path / "log.db"))


def test_the_town_list_stands_alone_and_uses_the_width(tmp_path: Path) -> None:
    """t shows the list and nothing above it, with the place to go to and what is not there, as wide as the screen lets."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "t")
        text = screen(pilot)
        assert text.startswith(" TOWN  Thu 7 May") and "Can I?" not in text
        assert "Where: Old Mill" in text and "NOT THERE, ELSEWHERE" in text
        assert max(map(len, text.splitlines())) > 60

    walk(steps, lived(tmp_path / "log.db"), (80, 40))


def test_the_list_shows_the_no_that_was_said(tmp_path: Path) -> None:
    """A place that only has been said no of shows that, one nobody knows anything of says so."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "l n")
        await type_in(pilot, "Dry well")
        await press(pilot, "enter escape")
        assert "nothing is known of it" in screen(pilot)
        row = next(i for i, each in enumerate(row for row in screen(pilot).splitlines() if row) if "Dry well" in each)
        await press(pilot, " ".join(["down"] * row + ["enter", "w", "n", "escape"]))
        shown = next(each for each in screen(pilot).splitlines() if "Dry well" in each)
        assert "water no, you today" in shown and "not said" not in screen(pilot)

    walk(steps, lived(tmp_path / "log.db"))


def test_the_app_names_keys_not_commands(tmp_path: Path) -> None:
    """With no other place known the page says which key notes a failure, and types no command."""
    path = lived(tmp_path / "log.db", with_places=False)
    with Logbook.open(path) as book:
        kept.add(book, kept.own_place("Only mill", "", "", ""), ["grey"], NOW)

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "i")
        words = " ".join(screen(pilot).split())
        assert "note it with x on this page" in words and "h on the page of a place (l on the first screen)" in words
        assert "place confirm" not in words and "place here" not in words

    walk(steps, path)


def test_an_unknown_distance_takes_no_room_where_it_is_narrow(tmp_path: Path) -> None:
    """At 50 columns the line below the name begins with the answer while nobody knows how far it is."""
    path = lived(tmp_path / "log.db", with_places=False)
    with Logbook.open(path) as book:
        kept.add(book, kept.own_place("Only mill", "", "", ""), ["grey"], NOW)

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "l")
        assert "\n   gray yes, you today\n" in screen(pilot)

    walk(steps, path, SIZES["50x20"])


def test_no_place_no_stop(tmp_path: Path) -> None:
    """Without places the page says how to begin, and its keys do no harm."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "i")
        assert "Esc, then l and n keep the place where you are" in " ".join(screen(pilot).split())
        assert "did not work" not in screen(pilot) and "Esc back" in screen(pilot)
        await press(pilot, "x o enter escape")
        assert "Count on" in screen(pilot)

    walk(steps, lived(tmp_path / "log.db", with_places=False))


def test_by_tapping(tmp_path: Path) -> None:
    """A tap on a place goes to it, a second opens it; a tap on a hint does what its key does."""

    async def tap(pilot: Pilot[int], words: str) -> None:
        lines = screen(pilot).splitlines()
        y = next(i for i, each in enumerate(lines) if words in each)
        await pilot.click(offset=(lines[y].index(words) + 1, y))
        await press(pilot, "")

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, "l")
        await tap(pilot, "Canyon store")
        await tap(pilot, "Canyon store")
        assert screen(pilot).startswith(" Canyon store\n")
        await tap(pilot, "p propane")
        await tap(pilot, "y yes")
        assert "Noted: propane yes." in screen(pilot)

    walk(steps, lived(tmp_path / "log.db"))


SCREENS = {"places": "l", "place": "l down enter", "place-asked": "l enter g", "next-stop": "i"}


@pytest.mark.parametrize("size", list(SIZES))
@pytest.mark.parametrize("name", list(SCREENS))
def test_screens_as_text(name: str, size: str, tmp_path: Path) -> None:
    """Every screen at three sizes is what the reviewed dump shows, no line wider than the terminal."""

    async def steps(pilot: Pilot[int]) -> None:
        await press(pilot, SCREENS[name])
        text = screen(pilot)
        assert max(len(each) for each in text.splitlines()) <= SIZES[size][0]
        golden(f"{name}-{size}", text)

    walk(steps, lived(tmp_path / "log.db"), SIZES[size])


def test_the_first_screen_does_without_places() -> None:
    """The app loads nothing about places or trips before a key asks for it."""
    later = "('.place', 'resupply', '.trip', 'travelling')"
    probe = f"import sys, vanlife_supply.tui.shell; print([n for n in sys.modules if any(w in n for w in {later})])"
    done = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"
