"""Whatever is typed after `place`, or fed to its import: a status of the contract and a sentence."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.conftest import Runner

DATA = (Path(__file__).parent / "data" / "valley.geojson").read_bytes()
WORDS = [
    "add", "list", "show", "confirm", "here", "import", "stay", "leave", "mountains", "on", "--drop",
    "14 days", "in 28", "then", "25 miles", "0", "North dump", "Twin", "node/101", "38.57,-109.52", "inf,nan",
    "water", "gray", "toilet waste", "yes", "no", "--gives", "--lat", "--lon", "--note", "--paid", "--at", "--odometer",
    "--json", "95", "38.5", "nan", "1,5", "3.50", "yesterday", "84210 km", "5 kmi", "\x00", "\ud800", "💧", "", " ",
    "-", "x" * 300, "1e9,2", "%", "'", "--",
]  # fmt: skip
steady = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@steady
@given(rest=st.lists(st.sampled_from(WORDS) | st.text(max_size=4), max_size=6))
def test_no_words_break_it(ready: Runner, rest: list[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Any words in any order are taken or refused."""
    monkeypatch.chdir(tmp_path)
    ready("place", "import", "-", stdin=DATA)
    said = ready("place", *rest)
    assert said.status in {0, 1, 2} and "went wrong" not in said.err, (rest, said)
    assert said.status == 0 or said.err.strip()


@steady
@given(where=st.integers(0, len(DATA) - 1), byte=st.integers(0, 255), cut=st.booleans())
def test_damage_is_read_or_refused(ready: Runner, where: int, byte: int, cut: bool) -> None:
    """A byte changed or the end lost: read, or refused with nothing kept; the next stop still answers."""
    data = DATA[:where] if cut else DATA[:where] + bytes([byte]) + DATA[where + 1 :]
    said = ready("place", "import", "-", stdin=data)
    assert said.status in {0, 1} and "went wrong" not in said.err, said
    assert ready("place", "list").status == 0
