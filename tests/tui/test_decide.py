"""Questions by letter on a real log: each answered in words, none touches the log."""

from __future__ import annotations

import pytest

from tests.wording.example import NOW, RIG_TOML
from vanlife_supply import keeping
from vanlife_supply.entry.build import Typed
from vanlife_supply.logbook import Logbook
from vanlife_supply.refusal import Refusal
from vanlife_supply.tui.decide import HINTS, SHORT, answered

SAID = (
    Typed("fill", "water", at="2026-04-27T08:00"), Typed("dump", "gray", at="2026-04-27T08:00"),
    Typed("fill", "water", "8 gal full", at="2026-05-03T08:00"), Typed("dump", "gray", at="2026-05-03T08:00"),
    Typed("reading", "alcohol", "half", container="canister 1"),
    Typed("reading", "propane", "24.3 lb gross", container="cylinder"),
)  # fmt: skip


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Logbook:
    """A log with two balances of water and gray."""
    its = Logbook.open(tmp_path_factory.mktemp("decide") / "log.db")
    keeping.load_rig(its, RIG_TOML, NOW)
    keeping.record(its, [keeping.noted(its, typed, NOW) for typed in SAID], NOW)
    return its


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("s", "Shower"), ("2 gal", "2 gal"), ("g sun", "guest until Sun"), ("l", "until evening"), ("k", "Drinking only"),
        ("b w sun", "Water until Sun"), ("i 2 people until sun", "What if"), ("i heater", "What if"),
        ("i no alcohol", "does the cooking"), ("i 5 gal jug", "What if"),
        ("t", "TOWN"), ("o", "surer by"), ("y w", "Your usual"), ("y g", "a day"), ("v", "."),
        ("shower outside", "Shower"),
    ],
)  # fmt: skip
def test_questions(asked: str, said: str, book: Logbook) -> None:
    """Each letter of the hints is answered, and the log is as it was."""
    before = book.entries()
    assert said in answered(asked, book, NOW).text
    assert book.entries() == before


@pytest.mark.parametrize("asked", ["zebra", "b", "b w", "i", "y moon", "b w yesterday", "i ² people", "i 999 people"])
def test_what_is_not_understood_is_refused(asked: str, book: Logbook) -> None:
    """Nonsense and half a question end in a sentence."""
    with pytest.raises(Refusal) as refused:
        answered(asked, book, NOW)
    assert str(refused.value).endswith(".")


def test_what_can_be_done_can_be_noted(book: Logbook) -> None:
    """A yes offers the use to note; a no and what is no act offer nothing."""
    assert answered("s", book, NOW).phrase == "used shower"
    assert answered("0.5 gal", book, NOW).phrase == "used water 0.5 gal"
    assert answered("500 gal", book, NOW).phrase == ""
    assert answered("l", book, NOW).phrase == ""


def test_every_hint_is_a_letter_that_means_something() -> None:
    """The hints name only letters the questions know."""
    assert {key for key, _ in HINTS} <= set(SHORT)
