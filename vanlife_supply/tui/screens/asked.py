"""A switch that nobody noted: one key answers."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, cast

from textual import events

from vanlife_supply.actions import ASKED, on_screen
from vanlife_supply.forecast.model import Question
from vanlife_supply.tui.screens.page import Content, PageScreen
from vanlife_supply.wording.asking import answer_typed

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp

ACTION_OF = {key: a.id for a in on_screen(ASKED) for key in a.keys}


class AskedScreen(PageScreen):
    """What shows it; y notes the switch from then on, n that it is not so; Esc leaves it open."""

    keys_of: ClassVar[tuple[str, ...]] = (ASKED, *PageScreen.keys_of)

    def __init__(self, question: Question, content: Content) -> None:
        super().__init__("Worth asking", content)
        self._question = question

    def on_key(self, event: events.Key) -> None:
        """Answers; every other key does what it does on any page."""
        if event.key in ACTION_OF and not self._left:
            self.action_do(ACTION_OF[event.key])
            event.stop()
            event.prevent_default()

    def action_do(self, name: str) -> None:
        """Notes the answer on the first screen, where it can be taken back."""
        if name not in ACTION_OF.values():
            super().action_do(name)
            return
        own = cast("SupplyApp", self.app)
        super().action_do("back")
        own.first.note(answer_typed(self._question, yes=name == "switched", now=own.now()))
