"""Our own two themes. Blue and orange stay apart for every common kind of colour blindness; words and glyphs say it too."""

from __future__ import annotations

from textual.theme import Theme

DARK = Theme(
    name="night",
    dark=True,
    primary="#56B4E9",
    secondary="#8FA3B5",
    warning="#E69F00",
    error="#FF8A3D",
    success="#56B4E9",
    accent="#E69F00",
    foreground="#E8EAED",
    background="#101418",
    surface="#101418",
    panel="#1B222A",
)
LIGHT = Theme(
    name="day",
    dark=False,
    primary="#00558A",
    secondary="#4A5560",
    warning="#8F4B00",
    error="#9A3D00",
    success="#00558A",
    accent="#8F4B00",
    foreground="#14181C",
    background="#FBFAF6",
    surface="#FBFAF6",
    panel="#ECE9E0",
)
COLOURS = {DARK.name: "for the night", LIGHT.name: "for the day", "ansi-dark": "the terminal's own"}
"""Theme → what it is called on the screen, in the order they come round."""
