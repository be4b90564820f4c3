"""The first screen as lines: large terminals show more, small ones say that there is more and where."""

from __future__ import annotations

import asyncio
import math
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual.pilot import Pilot

from tests.tui.fake import fake
from tests.tui.walk import opened, press, screen, settled
from tests.wording.example import GALLON, NOW, forecast, rig
from vanlife_supply.forecast.model import Band
from vanlife_supply.moment import read_iso
from vanlife_supply.resupply import town
from vanlife_supply.rig.model import FRESH, GREY, Supply
from vanlife_supply.tui.board import View, board, figures
from vanlife_supply.tui.fan import fan
from vanlife_supply.tui.lines import line, plain
from vanlife_supply.tui.spare import spare
from vanlife_supply.tui.strip import header
from vanlife_supply.wording.todo import things_to_do
from vanlife_supply.wording.town import short_list

IN_TOWN = short_list(town(forecast(), rig()), rig())


def view(page: int = 0) -> View:
    """The invented forecast on the first screen."""
    return View(rig(), NOW, forecast(), in_town=IN_TOWN, todo=tuple(things_to_do(forecast(), rig(), quiet=False)), page=page)


def rows(its: View, width: int, height: int) -> list[str]:
    """The screen as text."""
    return plain(board(its, width, height)).splitlines()


@settings(max_examples=60, deadline=None)
@given(st.integers(44, 100), st.integers(17, 40))
def test_what_has_no_room_is_on_the_next_pages(width: int, height: int) -> None:
    """From 44 by 17 on every line a tall screen has is on one of the pages, and page after page leads back."""
    tall = rows(view(), width, 80)
    wanted = {row for row in tall if "In town today" not in row and row.strip()}
    wanted -= {row for row in tall[tall.index(next(r for r in tall if "In town today" in r)) :] if not row.startswith(" f ")}
    first = rows(view(), width, height)
    pages = [first]
    while (page := rows(view(len(pages)), width, height)) != first:
        pages.append(page)
        assert len(pages) < 20
    found = {row for page in pages for row in page}
    assert {row.strip() for row in wanted if "█" not in row} <= {row.strip() for row in found}
    assert (len(pages) > 1) == any("more below" in row for row in first)


def test_the_rest_comes_by_key_and_goes_by_escape() -> None:
    """At 50 by 20 the right arrow shows the other jugs; Esc, or the arrow once more, is back at the answer."""

    async def run() -> None:
        async with opened(fake(), (50, 20)) as pilot:
            assert "cylinder" not in screen(pilot)
            for back in ("escape", "right"):
                await press(pilot, "right")
                assert "cylinder 20 lb open" in screen(pilot) and "Count on" not in screen(pilot)
                await press(pilot, back)
                assert "Count on 2½ days" in screen(pilot) and "Not today" not in screen(pilot)
            await pilot.resize_terminal(120, 40)
            await press(pilot, "right")
            assert "All of it is on the screen." in screen(pilot)

    asyncio.run(run())


def test_a_message_does_not_hide_the_rest() -> None:
    """Below a message a sign says that there is more, and the arrow shows it; not while noting."""
    told = replace(view(), foot=(line(" Noted."),))
    assert any("more below" in row for row in rows(told, 50, 18))
    assert "cylinder" in "\n".join(rows(replace(told, page=1), 50, 18))
    assert not any("more below" in row for row in rows(replace(told, page=None), 50, 18))


def test_a_large_screen_says_what_to_do_in_town() -> None:
    """At 120 by 40 what is to be dumped and got stands below the jugs, and the range ahead of what ends first."""
    text = "\n".join(rows(view(), 120, 40))
    assert "In town today" in text and "dump gray jug: about 2.9 gal in it" in text and "jug A: get about 4.5 gal" in text
    assert "Gray: room left from day to day, gal" in text
    assert not spare(IN_TOWN, forecast(), rig(), 80, 3)
    unknown = tuple(replace(s, containers=tuple(replace(c, level=None) for c in s.containers)) for s in forecast().supplies)
    assert not short_list(town(replace(forecast(), supplies=unknown), rig()), rig())


@given(st.integers(20, 120), st.integers(0, 12))
def test_figures_beside_a_question_keep_to_their_room(width: int, room: int) -> None:
    """The answer and its first rows never take more lines than there are, and a heading never stands alone."""
    shown = plain(figures(forecast(), rig(), width, room)).splitlines()
    assert len(shown) <= room
    assert not shown or "count on" not in shown[-1] or "left now" not in shown[-1]


@given(st.floats(0.3, 400), st.integers(4, 8), st.sampled_from(["gal", "L"]))
def test_the_scale_is_of_round_numbers(top: float, height: int, unit: str) -> None:
    """Every number at the scale is 1, 2 or 5 times a power of ten, or a whole multiple of it, and stands at its height."""
    its = Supply(FRESH, unit=unit)
    one = GALLON if unit == "gal" else 1.0
    outlook = forecast().supply(FRESH)
    assert outlook is not None
    full = Band(top * one, top * one, top * one)
    picture = plain(fan(replace(outlook, usable=full), NOW, its, 60, height)).splitlines()
    body = [row for row in picture if "│" in row]
    told = {len(body) - i: float(row[:6]) for i, row in enumerate(body) if row[:6].strip()}
    assert told and len(body) <= height
    step = next(iter(told.values())) / next(iter(told))
    first_figure = step / 10 ** math.floor(math.log10(step) + 1e-6)
    assert min(abs(first_figure - k) for k in (1, 2, 5)) < 0.03
    assert all(math.isclose(value, row * step, abs_tol=0.051) for row, value in told.items())
    assert (len(body) - 0.5) * step < top * 1.03 and top <= (len(body) + 0.5) * step * 1.03  # the number shown is rounded


@pytest.mark.parametrize(
    ("per_day", "cells", "told"),
    [
        (3.0, 30, "Fr Sa Su Mo Tu We Th Fr Sa Su"),
        (2.0, 30, "Fr  Su  Tu  Th  Sa  Mo  We"),
        (6.0, 66, "Fr    Sa    Su    Mo 11 Tu"),
        (1.0, 40, "11 May 18 May 25 May 1 Jun"),
        (2.0, 66, "Mon 11 May"),
        (0.5, 60, "15 May  1 Jun  15 Jun"),
        (0.25, 60, "Jun     Jul    Aug"),
    ],
)
def test_days_are_told_from_each_other(per_day: float, cells: int, told: str) -> None:
    """Weekdays while they are few, and each of them once in its week; dates with their month where there are many."""
    text = header(NOW, per_day, cells)
    assert told in text and len(text) == cells
    assert not re.search(r"(?<![A-Za-z] )\b[0-9]{1,2}\b(?! [A-Z]|$)", text) or per_day == 6.0


@given(st.integers(0, 500), st.floats(0.2, 6.0), st.integers(10, 150))
def test_a_date_on_the_scale_is_at_its_place(ahead: int, per_day: float, cells: int) -> None:
    """Where `11 May` stands that day begins, to half a cell and the hour of a clock change."""
    now = read_iso("2026-01-01T09:00:00-07:00", "America/Denver").moment.plus(float(ahead))
    text = header(now, per_day, cells)
    months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
    for found in re.finditer(r"(?:[A-Z][a-z]{2} )?([0-9]{1,2}) ([A-Z][a-z]{2})", text):
        early, late = (now.plus((found.start() + k) / per_day + k / 12).local() for k in (-0.5, 0.5))
        begins = late.replace(month=months.index(found[2]) + 1, day=int(found[1]), hour=0, minute=0, second=0, microsecond=0)
        assert early <= begins <= late


def test_gray_is_not_told_as_water() -> None:
    """The picture of what fills up is named room left."""
    outlook = forecast().supply(GREY)
    assert outlook is not None
    assert "room: █ count on" in plain(fan(outlook, NOW, rig().supply(GREY), 60, 6))


def test_what_is_kept_back_explains_the_figure_above() -> None:
    """The jugs hold more than `left now` where a reserve is kept in them, and their line says so."""
    kept = replace(rig(), supplies=tuple(replace(s, reserve=GALLON) if s.name == FRESH else s for s in rig().supplies))
    text = plain(board(replace(view(), rig=kept), 80, 30))
    assert "B 5 gal full   1 gal of it kept back" in text
    assert "kept back" not in plain(board(view(), 80, 30))


def test_what_a_large_or_small_screen_adds_is_tapped() -> None:
    """A tap on what is still below shows it; one on the town's lines opens the town list."""

    async def tap(pilot: Pilot[int], words: str) -> None:
        lines = screen(pilot).splitlines()
        y = next(i for i, each in enumerate(lines) if words in each)
        await pilot.click(offset=(lines[y].index(words) + 1, y))
        await settled(pilot)

    async def run() -> None:
        async with opened(fake(), (50, 20)) as pilot:
            await tap(pilot, "more below")
            assert "cylinder 20 lb open" in screen(pilot)
            await tap(pilot, "That is all")
            assert "Count on 2½ days" in screen(pilot)
            await pilot.resize_terminal(120, 40)
            await settled(pilot)
            await tap(pilot, "can: fill the others")
            assert "Answer to town" in screen(pilot)

    asyncio.run(run())
