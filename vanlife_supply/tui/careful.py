"""Whatever is refused anywhere in the app is said on the screen; it never ends the app."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol, cast, runtime_checkable

from textual.message import Message
from textual.message_pump import MessagePump

from vanlife_supply.refusal import Refusal

if TYPE_CHECKING:
    from vanlife_supply.tui.shell import SupplyApp


@runtime_checkable
class Telling(Protocol):
    """A screen with a line for what was done."""

    def tell(self, text: str, /) -> None:
        """Says something until the next key."""


@runtime_checkable
class Doing(Protocol):
    """A screen that runs actions of the registry by their id."""

    def action_do(self, name: str, /) -> None:
        """Does it."""


class Careful(MessagePump):
    """A Refusal that a handler let through would end its loop of messages, and the app with it: it is told instead."""

    async def _dispatch_message(self, message: Message) -> None:
        try:
            await super()._dispatch_message(message)
        except Refusal as fault:
            cast("SupplyApp", self.app).refused(fault)
