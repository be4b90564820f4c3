"""A long import says what it is at."""

from __future__ import annotations

import threading

import pytest

from vanlife_supply.commands.progress import telling


def test_a_long_step_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    """After its time has passed the step is told once on the standard error."""
    with telling("Reading", after=0.0):
        threading.Event().wait(0.05)
    assert capsys.readouterr() == ("", "Reading ...\n")


def test_a_short_step_is_not(capsys: pytest.CaptureFixture[str]) -> None:
    """What is done at once says nothing, also when it fails."""
    with pytest.raises(ValueError, match="no"), telling("Reading", after=60.0):
        raise ValueError("no")
    assert capsys.readouterr() == ("", "")


def test_at_a_terminal_how_far_it_is(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Steps done of all are told beside the seconds, and the line is gone after."""
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    with telling("Looking back", after=0.05) as step:
        step(3, 9)
        threading.Event().wait(0.2)
    told = capsys.readouterr().err
    assert "Looking back, 3 of 9 ... 0 s" in told and told.endswith(" \r")
