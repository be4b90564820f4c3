"""The one error of the house: input refused in one clear sentence."""

from __future__ import annotations

# Exit statuses of the command line (an interface scripts rely on; see DEVELOPERS.md).
REFUSED = 1
USAGE = 2
NOT_OURS = 3
BUSY = 4
NO_PLAN = 5
CANNOT_WRITE = 6
INTERRUPTED = 130


class Refusal(Exception):
    """Input that cannot be taken. Its text is one sentence: what, where, what to do.

    `status` is the exit status the command line ends with.
    """

    def __init__(self, sentence: str, status: int = REFUSED) -> None:
        super().__init__(sentence)
        self.status = status


def nearest(word: str, known: list[str], cutoff: float = 0.6) -> str:
    """` (did you mean 'water'?)` for a near miss among `known`, else an empty text. `cutoff`: how near, up to 1."""
    from difflib import get_close_matches  # only a wrong word pays for this import

    close = get_close_matches(word.lower(), [k for k in known if k != word.lower()], n=1, cutoff=cutoff)
    return f" (did you mean '{close[0]}'?)" if close else ""
