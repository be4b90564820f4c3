"""Questions in plain words: one a day, one key each, what it would note shown first, taken back with z."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import replace
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.fake import FakeDesk, clock
from tests.tui.walk import SIZES, golden, opened, press, screen, settled
from tests.wording.example import NOW, RIG_TOML, forecast, rig
from vanlife_supply import keeping
from vanlife_supply.actions import QUESTION, on_screen
from vanlife_supply.advising import outlook, outlook_if
from vanlife_supply.entry import model as m
from vanlife_supply.entry.build import Typed, build
from vanlife_supply.entry.company import guests_to_ask
from vanlife_supply.entry.planning import asked_as, plan_to_ask
from vanlife_supply.forecast.model import Forecast, Warning
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import read_when
from vanlife_supply.tui.desk import LogDesk
from vanlife_supply.tui.shell import SupplyApp

Walk = Callable[[Pilot[int], FakeDesk], Awaitable[None]]


class DoubtingDesk(FakeDesk):
    """By its forecast one supply cannot be as noted."""

    def __init__(self, supply: str, *, silent: float = 0.0) -> None:
        super().__init__(rig())
        self.supply, self.silent = supply, silent

    def forecast(self) -> Forecast:
        """With a question."""
        warnings = (Warning("impossible-level", self.supply, reason="above" if self.supply == "grey" else "below"),)
        return replace(forecast(), warnings=warnings if self.supply else (), last_entry=NOW.plus(-self.silent).epoch)


def walk(desk: FakeDesk, steps: Walk, size: tuple[int, int] = (80, 24)) -> None:
    """Runs a walk on that desk."""

    async def run() -> None:
        async with opened(desk, size) as pilot:
            await steps(pilot, desk)

    asyncio.run(run())


def shown(pilot: Pilot[int]) -> str:
    """The words on the screen."""
    return " ".join(screen(pilot).split())


@pytest.mark.parametrize(
    ("supply", "keys", "kind", "said"),
    [
        ("fresh", "f", m.FILL, "Would note: Added some water"),
        ("grey", "d", m.DUMP, "Would note: Dumped gray empty"),
        ("fresh", "a", m.CONDITION, "Would note: Away until"),
    ],
)
def test_an_answer_is_shown_noted_and_taken_back(supply: str, keys: str, kind: str, said: str) -> None:
    """A letter shows what would be noted, Enter notes that one entry, z takes it back."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        assert "not today" in screen(pilot)
        await press(pilot, f"1 {keys}")
        assert said in shown(pilot) and desk.kept == []
        await press(pilot, "enter")
        assert [e.kind for e in desk.kept] == [kind]
        assert "z takes it back" in shown(pilot) and "not today" not in screen(pilot)
        await press(pilot, "z")
        assert desk.kept == []

    walk(DoubtingDesk(supply), steps)


def test_a_missing_fill_lies_in_the_middle_of_the_gap() -> None:
    """Between the last sure word of water, a day ago, and now: half a day ago, give or take half a day."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "1 f enter")
        (entry,) = desk.kept
        assert entry.at.epoch == pytest.approx(NOW.plus(-0.5).epoch, abs=1) and entry.slack_h == pytest.approx(12)
        assert entry.amount is None and entry.to == ""

    walk(DoubtingDesk("fresh"), steps)


def test_less_was_used_asks_how_much_is_left() -> None:
    """`l` goes on to the level, which is then noted as a look."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "1 l h enter")
        assert [(e.kind, e.supply, e.amount) for e in desk.kept] == [(m.READING, "fresh", 50.0)]

    walk(DoubtingDesk("fresh"), steps)


def test_esc_means_not_today() -> None:
    """Esc on the question or on the first screen: nothing is noted, nothing asked until tomorrow."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "1 question_mark")
        assert "only you know which of these it was" in " ".join(screen(pilot).split())
        await press(pilot, "escape")
        assert "Not today" in screen(pilot) and desk.kept == [] and desk.settings == {"asked": "2026-05-07"}
        await press(pilot, "escape escape")
        assert "should be gone" not in screen(pilot) and "not today" not in screen(pilot)
        desk.settings["asked"] = "2026-05-06"
        await press(pilot, "escape")
        assert "Not today" in screen(pilot) and desk.settings == {"asked": "2026-05-07"}

    walk(DoubtingDesk("fresh"), steps)


def test_silence_is_asked_about_before_all_else_and_alone() -> None:
    """After days of silence only catching up is offered; its Esc means not today."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        assert "three short questions" in shown(pilot) and "should be gone" not in screen(pilot)
        await press(pilot, "1")
        assert "Catching up" in screen(pilot)
        await press(pilot, "escape")
        assert "Not today" in screen(pilot) and "three short questions" not in shown(pilot)

    walk(DoubtingDesk("fresh", silent=9.0), steps)


def test_catching_up_knows_some_time() -> None:
    """`y` to a question of catching up: some time since the last entry, its middle, the ± as wide."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "k y enter enter enter")
        assert [(e.kind, e.supply, e.to) for e in desk.kept[1:]] == [(m.FILL, "fresh", m.FULL)]
        assert desk.kept[1].at.epoch == pytest.approx(NOW.plus(-3).epoch, abs=1)
        assert desk.kept[1].slack_h == pytest.approx(72)

    desk = FakeDesk(rig())
    desk.kept.append(replace(build(Typed(m.DUMP), rig(), NOW.plus(-6)), id="before"))
    walk(desk, steps)


@pytest.mark.parametrize(("keys", "counts"), [("y enter", [3.0, 1.0]), ("n", [3.0])])
def test_is_the_guest_gone_is_asked_once(keys: str, counts: list[float]) -> None:
    """A guest of over a week is asked about; yes notes who is left, no notes nothing, neither is asked again."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        assert "Is the guest gone?" in screen(pilot)
        await press(pilot, f"1 {keys}")
        assert [e.amount for e in desk.kept] == counts and desk.settings["guests"] == "guest"
        desk.settings["asked"] = ""
        await press(pilot, "escape escape")
        assert "Is the guest gone?" not in screen(pilot)

    desk = DoubtingDesk("")
    desk.kept.append(replace(build(Typed(m.PEOPLE, amount="3"), rig(), NOW.plus(-8)), id="guest"))
    walk(desk, steps)


def test_who_counts_as_a_guest() -> None:
    """More than live there, over a week or past the date said; who lives there or is fresh is no question."""
    its, now = rig(), NOW.epoch

    def people(count: int, ago: float, until: str = "") -> m.Entry:
        return build(Typed(m.PEOPLE, amount=str(count), until=until), its, NOW.plus(-ago))

    assert guests_to_ask([people(2, 8)], its, now) is not None
    assert guests_to_ask([people(2, 2)], its, now) is None
    assert guests_to_ask([people(1, 8)], its, now) is None
    over = guests_to_ask([people(2, 8, NOW.plus(-1).iso())], its, now)
    assert over is not None and over.over and over.lives == 1
    assert guests_to_ask([people(2, 20, NOW.plus(-9).iso())], its, now) is None


def planned(word: str, day: str, every: str = "", drop: str = "", noted: str = "2026-04-20T09:00-06:00") -> m.Entry:
    """A plan as it was noted in April; NOW is Thursday 7 May, evening."""
    supply = "grey" if word == m.DUMP else "fresh"
    when = read_when(noted, NOW, "America/Denver").moment
    typed = Typed(m.PLANNED, supply, down_to=drop, at="" if drop else day, every=every, word=word)
    return replace(build(typed, rig(), when), id=f"{word} {day} {every}")


def test_a_plan_that_repeats_is_asked_about_once_a_time() -> None:
    """Each Tuesday: the newest Tuesday gone by is asked about, not the first one; once noted, dropped or old, no more."""
    weekly = planned(m.DUMP, "2026-04-21T10:00", "tue")
    found = plan_to_ask([weekly], NOW.epoch)
    assert found is not None and found.until is not None and found.until.iso().startswith("2026-05-05T10:00")
    assert plan_to_ask([weekly], NOW.plus(2).epoch) is None
    later = plan_to_ask([weekly], NOW.plus(7).epoch)
    assert later is not None and asked_as(later) != asked_as(found)
    done = replace(build(Typed(m.DUMP, at="2026-05-04T18:00"), rig(), NOW), id="done")
    assert plan_to_ask([weekly, done], NOW.epoch) is None
    assert plan_to_ask([weekly, planned(m.DUMP, "", drop=m.DROP)], NOW.epoch) is None


def test_the_newest_of_several_plans_is_asked_about() -> None:
    """A dump each Tuesday and one on Wednesday: Wednesday's; once that is noted, the fill planned beside it."""
    weekly, once = planned(m.DUMP, "2026-04-21T10:00", "tue"), planned(m.DUMP, "2026-05-06T10:00")
    fill = planned(m.FILL, "2026-05-05T08:00")
    found = plan_to_ask([fill, once, weekly], NOW.epoch)
    assert found is not None and found.id == once.id
    dumped = replace(build(Typed(m.DUMP, at="2026-05-06T11:00"), rig(), NOW), id="done")
    found = plan_to_ask([fill, once, weekly, dumped], NOW.epoch)
    assert found is not None and found.id == fill.id


@pytest.mark.parametrize(("keys", "kinds"), [("y enter", [m.PLANNED, m.DUMP]), ("n", [m.PLANNED])])
def test_was_it_dumped_as_planned(keys: str, kinds: list[str]) -> None:
    """A key answers for the Tuesday gone by: yes notes it at its time, no is remembered; neither is asked again."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        assert "Gray: was it dumped on Tue 5 May, as planned?" in shown(pilot)
        await press(pilot, f"1 {keys}")
        assert [e.kind for e in desk.kept] == kinds and desk.settings["plan"].endswith("2026-05-05T10:00:00-06:00")
        if m.DUMP in kinds:
            assert desk.kept[1].at.iso().startswith("2026-05-05T10:00")
        desk.settings["asked"] = ""
        await press(pilot, "escape escape")
        assert "as planned?" not in shown(pilot)

    desk = DoubtingDesk("")
    desk.kept.append(planned(m.DUMP, "2026-04-21T10:00", "tue"))
    walk(desk, steps)


def test_between_two_times() -> None:
    """`between mon and thu`: the middle, and half the way as ±."""
    when = read_when("between 2026-05-01T08:00 and 2026-05-03T08:00", NOW, "America/Denver")
    assert when.slack_h == 24 and when.moment.iso().startswith("2026-05-02T08:00")


def test_what_an_answer_would_do_is_what_it_does(tmp_path: Path) -> None:
    """The forecast shown before Enter is the one after it, and supposing keeps nothing."""
    typed = Typed(m.FILL, "fresh", "3 gal", at="2026-05-06T10:00")
    with Logbook.open(tmp_path / "log.db") as book:
        keeping.load_rig(book, RIG_TOML, NOW)
        said = [Typed(m.FILL, "fresh", at="2026-04-27T08:00"), Typed(m.FILL, "fresh", "8 gal full", at="2026-05-03T08:00")]
        keeping.record(book, [keeping.noted(book, each, NOW) for each in said], NOW)
        supposed = outlook_if(book, [keeping.noted(book, typed, NOW)], NOW)
        assert len(book.entries()) == 2
        keeping.record(book, [keeping.noted(book, typed, NOW)], NOW)
        assert supposed.supply("fresh") == outlook(book, NOW, NOW).supply("fresh")


def test_the_effect_is_said_before_enter(tmp_path: Path) -> None:
    """On a log the page says what the answer would do to the supply."""
    path = tmp_path / "log.db"
    with Logbook.open(path) as book:
        keeping.load_rig(book, RIG_TOML, NOW)
        fills = [Typed(m.FILL, "fresh", at="2026-03-01T08:00")]
        fills += [Typed(m.FILL, "fresh", "9 gal full", at=f"2026-03-{day:02}T08:00") for day in (7, 13, 19, 25)]
        keeping.record(book, [keeping.noted(book, each, NOW) for each in fills], NOW)
        keeping.record(book, [keeping.noted(book, Typed(m.NOTE, note="here", at="2026-05-07T08:00"), NOW)], NOW)

    async def run() -> None:
        app = SupplyApp(LogDesk(str(path), clock), clock)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            assert "it should be gone by now" in shown(pilot)
            await press(pilot, "1 a")
            await settled(pilot)
            assert "Away until" in shown(pilot) and "Water: count on" in shown(pilot)

    asyncio.run(run())


def test_every_action_is_walked() -> None:
    """No answer of the registry is without a walk above."""
    assert {a.id for a in on_screen(QUESTION)} == {"missing", "less", "was_away", "gone", "stays", "note_it", "not_now",
                                                   "explain_question"}


@pytest.mark.parametrize("size", list(SIZES))
def test_screens_as_text(size: str) -> None:
    """A question at three sizes is what the reviewed dump shows."""

    async def steps(pilot: Pilot[int], desk: FakeDesk) -> None:
        await press(pilot, "1 f")
        golden(f"question-{size}", screen(pilot))

    walk(DoubtingDesk("fresh"), steps, SIZES[size])
