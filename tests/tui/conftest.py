"""Screens are tested without the terminal settings of whoever runs them."""

from __future__ import annotations

import os

for name in ("NO_COLOR", "TEXTUAL_THEME", "TEXTUAL_COLOR_SYSTEM", "TEXTUAL_PRESS", "TEXTUAL_SCREENSHOT"):
    os.environ.pop(name, None)
os.environ["TEXTUAL_ANIMATIONS"] = "none"
