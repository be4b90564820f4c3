"""A supply looked at closely: what was said and what came, use a day with what held, all beside their numbers."""

from __future__ import annotations

import asyncio
import shutil
from pathlib import Path

import pytest

from tests.tui.walk import golden, press, screen, settled
from tests.wording.example import GALLON, NOW, rig
from vanlife_supply import keeping
from vanlife_supply.demo import NOW as DEMO_NOW
from vanlife_supply.entry.build import Typed
from vanlife_supply.forecast.calendar import Calendar, Span
from vanlife_supply.forecast.facts import Outcome, Stretch
from vanlife_supply.forecast.model import Band
from vanlife_supply.forecast.usage import held
from vanlife_supply.logbook import Logbook
from vanlife_supply.moment import Moment, read_iso
from vanlife_supply.tui.desk import LogDesk
from vanlife_supply.tui.history import said_picture, use_picture
from vanlife_supply.tui.lines import plain
from vanlife_supply.tui.shell import SupplyApp

DAY = 86_400.0
DEMO = Path(__file__).resolve().parents[2] / "demo.db"
USE = (
    Stretch(NOW.epoch - 30 * DAY, NOW.epoch - 24 * DAY, 6 * 1.0 * GALLON),
    Stretch(NOW.epoch - 24 * DAY, NOW.epoch - 18 * DAY, 6 * 2.5 * GALLON, (("heater", 0.95), ("guests", 0.4))),
    Stretch(NOW.epoch - 18 * DAY, NOW.epoch - 9 * DAY, 9 * 0.6 * GALLON, (("away", 0.5),)),
    Stretch(NOW.epoch - 9 * DAY, NOW.epoch - 3 * DAY, 6 * 1.2 * GALLON),
)


def outcome(ago: float, days: float, *said: float | None) -> Outcome:
    """What was said so many days ago, and that it lasted `days`."""
    start = NOW.epoch - ago * DAY
    return Outcome("fresh", 3, start, start, start + days * DAY, 10.0, Band(*said), 0.5, None)


SAID = (
    outcome(30, 6.0, 4.0, 6.5, 9.0), outcome(24, 2.5, 4.0, 6.0, 9.0), outcome(18, 9.0, 3.0, 5.0, 7.5),
    outcome(9, 6.0, 2.0, 5.0, None),
)  # fmt: skip


@pytest.mark.parametrize("width", [50, 80, 120])
def test_pictures_as_text(width: int) -> None:
    """Use a day and said against come at three widths are what the reviewed dump shows."""
    its = rig().supply("fresh")
    lines = [*use_picture(USE, its, NOW, width), (), *said_picture(SAID, NOW, width)]
    text = plain(lines) + "\n"
    assert max(map(len, text.splitlines())) <= width
    golden(f"history-{width}", text)


def test_nothing_is_drawn_of_nothing() -> None:
    """Without a past there is no picture."""
    assert use_picture((), rig().supply("fresh"), NOW, 80) == [] == said_picture((), NOW, 80)


def test_bars_are_as_long_as_the_numbers_say() -> None:
    """Twice the use is twice the bar, from nothing on."""
    its = rig().supply("fresh")
    twice = (Stretch(0.0, DAY, 1.0), Stretch(DAY, 2 * DAY, 2.0))
    bars = [text.count("█") for text in plain(use_picture(twice, its, NOW, 80)).splitlines() if "█" in text]
    assert bars[0] == pytest.approx(2 * bars[1], abs=1)


def test_what_came_stands_inside_where_the_verdict_says_so() -> None:
    """The mark of what came lies within the drawn range exactly when the words say so."""
    for row in plain(said_picture(SAID, NOW, 120)).splitlines()[2:-1]:
        drawn = row[20:-7]
        came, low, high = drawn.index("●"), min(map(drawn.find, "▒")), max(map(drawn.rfind, "▒›"))
        assert (low <= came <= high) == row.endswith("as said"), row


def test_what_held_is_told_with_its_share() -> None:
    """A condition over a third of the time, guests over half of it; what lives aboard for good is no guest."""
    calendar = Calendar(1.0, [Span("", 0.0, None, 2.0), Span("heater", 0.0, 3 * DAY), Span("", 4 * DAY, 9 * DAY, 4.0)])
    assert dict(held(calendar, 0.0, 9 * DAY)) == pytest.approx({"heater": 1 / 3, "guests": 5 / 9})
    assert held(calendar, 3 * DAY, 4 * DAY) == ()


def test_the_page_of_a_lived_log(tmp_path: Path) -> None:
    """On ten weeks of life the page says how it is known, what was used with what held, what was said and came."""
    path = tmp_path / "log.db"
    shutil.copyfile(DEMO, path)
    now = read_iso(DEMO_NOW, "America/Los_Angeles").moment

    def clock() -> Moment:
        return now

    async def run() -> None:
        app = SupplyApp(LogDesk(str(path), clock), clock)
        async with app.run_test(size=(80, 90)) as pilot:
            await settled(pilot)
            await press(pilot, "p")
            await settled(pilot)
            shown = screen(pilot)
            for said in ("How we know", "Used a day, lb", "heater", "Days said and days it lasted", "● came", "Learned"):
                assert said in shown, said
            await press(pilot, "escape w")
            await settled(pilot)
            assert "To the last drop: count on" in " ".join(screen(pilot).split())

    asyncio.run(run())


@pytest.mark.parametrize(("key", "capacity"), [("y", 3.0), ("k", 3.5)])
def test_an_offer_is_answered_by_one_key(tmp_path: Path, key: str, capacity: float) -> None:
    """A jug that takes less than written is asked about on its page; y writes it anew, k leaves it, both for good."""
    path = tmp_path / "log.db"
    with Logbook.open(path) as book:
        keeping.load_rig(book, '[[container]]\nsupply = "fresh"\nlabel = "jug"\ncapacity = "3.5 gal"\n', NOW)
        for day in (9.0, 6.0, 3.0):
            out, full = NOW.plus(-day).iso(), NOW.plus(0.1 - day).iso()
            for typed in (Typed("ran-out", "fresh", at=out), Typed("fill", "fresh", "3 gal full", at=full)):
                keeping.record(book, [keeping.noted(book, typed, NOW)], NOW)

    async def steps() -> None:
        app = SupplyApp(LogDesk(str(path), lambda: NOW), lambda: NOW)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            await press(pilot, "w")
            asked = screen(pilot)
            assert "3 fills say it holds" in asked and "Write 3 gal for jug from now on" in asked
            await press(pilot, key)
            await settled(pilot)
            assert "from now on" not in screen(pilot)

    asyncio.run(steps())
    with Logbook.open(path) as book:
        assert book.rig().capacity("fresh") == pytest.approx(capacity * GALLON)


def test_a_hit_or_miss_is_told_as_it_happens(tmp_path: Path) -> None:
    """Noting that a jug ran out says beside it what was said of it and what came."""
    path = tmp_path / "log.db"
    shutil.copyfile(DEMO, path)
    now = read_iso(DEMO_NOW, "America/Los_Angeles").moment

    async def steps() -> None:
        app = SupplyApp(LogDesk(str(path), lambda: now), lambda: now)
        async with app.run_test(size=(120, 40)) as pilot:
            await settled(pilot)
            await press(pilot, "n enter")
            await settled(pilot)
            assert "said to last till" in screen(pilot) and "lasted till Thu evening" in " ".join(screen(pilot).split())

    asyncio.run(steps())
