"""A switch that nobody noted: one key answers."""

from __future__ import annotations

from typing import ClassVar

from vanlife_supply.actions import ASKED, keys_of
from vanlife_supply.forecast.model import Question
from vanlife_supply.tui.screens.page import Content, PageScreen
from vanlife_supply.wording.asking import answer_typed


class AskedScreen(PageScreen):
    """What shows it; y notes the switch from then on, n that it is not so; Esc leaves it open."""

    screen_name: ClassVar[str] = ASKED

    def __init__(self, question: Question, content: Content) -> None:
        super().__init__("Worth asking", content)
        self._question = question

    def action_do(self, name: str) -> None:
        """Notes the answer on the first screen, where it can be taken back."""
        if name not in keys_of(ASKED).values():
            super().action_do(name)
            return
        own = self.own
        super().action_do("back")
        own.first.note(answer_typed(self._question, yes=name == "switched", now=own.now()))
