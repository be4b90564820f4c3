"""Our two themes: states stand out for everybody, and NO_COLOR sends no colour at all.

Contrast: relative luminance and ratio as in WCAG 2.2, success criterion 1.4.3 (text 4.5 to 1).
Full deuteranopia: the matrix for severity 1 of Machado, Oliveira and Fernandes, "A physiologically-based model for
simulation of color vision deficiency", IEEE TVCG 15 (2009), its values from memory; distances are CIE 1976 ΔE
(CIE 15:2004), where about 2 is just seen side by side.
"""

from __future__ import annotations

import os
import pty
import re
import select
import shutil
import struct
import subprocess
import sys
import time
from fcntl import ioctl
from pathlib import Path
from termios import TIOCSWINSZ

import pytest
from textual.theme import Theme

from vanlife_supply.tui.theme import DARK, LIGHT

ROOT = Path(__file__).resolve().parents[2]
STATES = ("primary", "warning", "error", "accent", "secondary", "foreground")
MACHADO_DEUTERANOPIA = (
    (0.367322, 0.860646, -0.227968),
    (0.280085, 0.672501, 0.047413),
    (-0.011820, 0.042940, 0.968881),
)
D65 = (0.95047, 1.0, 1.08883)
Triple = tuple[float, float, float]


def linear(colour: str) -> Triple:
    """`#rrggbb` → linear light (IEC 61966-2-1)."""
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return _lin(red), _lin(green), _lin(blue)


def _lin(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def luminance(colour: str) -> float:
    """Relative luminance."""
    red, green, blue = linear(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """(lighter + 0.05) / (darker + 0.05)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def lab(light: Triple) -> Triple:
    """Linear light → CIE L*a*b* under D65."""
    red, green, blue = (min(1.0, max(0.0, v)) for v in light)
    xyz = (
        0.4124564 * red + 0.3575761 * green + 0.1804375 * blue,
        0.2126729 * red + 0.7151522 * green + 0.0721750 * blue,
        0.0193339 * red + 0.1191920 * green + 0.9503041 * blue,
    )
    x, y, z = (_f(v / white) for v, white in zip(xyz, D65, strict=True))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _f(t: float) -> float:
    return float(t ** (1 / 3)) if t > 216 / 24389 else t * 24389 / 27 / 116 + 16 / 116


def apart(one: str, other: str) -> float:
    """ΔE between two colours as a person with full deuteranopia sees them."""
    seen = []
    for colour in (one, other):
        light = linear(colour)
        red, green, blue = (sum(k * v for k, v in zip(row, light, strict=True)) for row in MACHADO_DEUTERANOPIA)
        seen.append(lab((red, green, blue)))
    return float(sum((a - b) ** 2 for a, b in zip(*seen, strict=True)) ** 0.5)


def colour(theme: Theme, name: str) -> str:
    """A colour of a theme by its name."""
    value = getattr(theme, name)
    assert isinstance(value, str)
    return value


def test_the_formula_of_contrast() -> None:
    """WCAG's own ends: black on white 21, a colour on itself 1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#123456", "#123456") == 1


def test_red_and_green_fall_together() -> None:
    """The simulation does what it is for: a red and a green far apart for most become hard to tell."""
    assert apart("#a06040", "#708040") < 0.5 * apart("#0072b2", "#e69f00")


@pytest.mark.parametrize("theme", [DARK, LIGHT], ids=lambda t: t.name)
def test_every_state_can_be_read(theme: Theme) -> None:
    """Everything drawn stands at 4.5 to 1 or more on the background and on the panel."""
    for name in STATES:
        for ground in ("background", "panel"):
            assert contrast(colour(theme, name), colour(theme, ground)) >= 4.5, (name, ground)


@pytest.mark.parametrize("theme", [DARK, LIGHT], ids=lambda t: t.name)
def test_states_differ_without_green_cones(theme: Theme) -> None:
    """What is sure (blue) and what warns (orange) differ by a ΔE of over 40 for deuteranopes."""
    for warns in ("warning", "error", "accent"):
        assert apart(colour(theme, "primary"), colour(theme, warns)) > 40, warns


def test_the_figures_in_the_guide_are_these() -> None:
    """The table in DEVELOPERS.md is computed from the themes."""
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert figures() in guide, f"put this into DEVELOPERS.md:\n{figures()}"


def figures() -> str:
    """The table of contrasts and distances, in Markdown."""
    rows = ["| theme | blue | orange | strong orange | gray | text | blue to orange without green cones |",
            "|---|---|---|---|---|---|---|"]  # fmt: skip
    for theme in (DARK, LIGHT):
        names = ("primary", "warning", "error", "secondary", "foreground")
        ratios = " | ".join(f"{contrast(colour(theme, n), colour(theme, 'background')):.1f}" for n in names)
        rows.append(f"| {theme.name} | {ratios} | {apart(colour(theme, 'primary'), colour(theme, 'warning')):.0f} |")
    return "\n".join(rows)


SGR = re.compile(rb"\x1b\[([0-9;:]*)m")


def colours_in(sent: bytes) -> set[bytes]:
    """The colour codes among what was sent: 30–37, 38, 40–47, 48, 90–97, 100–107 (ECMA-48, xterm)."""
    found = set()
    for codes in SGR.findall(sent):
        for code in re.split(rb"[;:]", codes):
            number = int(code or b"0")
            if 30 <= number <= 38 or 40 <= number <= 48 or 90 <= number <= 107:
                found.add(codes)
    return found


@pytest.mark.parametrize("no_color", ["1", ""])
def test_no_colour_reaches_the_terminal(tmp_path: Path, no_color: str) -> None:
    """With NO_COLOR not one colour code is among the bytes sent, on the first screen and on a page; without it many."""
    log = tmp_path / "log.db"
    shutil.copyfile(ROOT / "demo.db", log)
    sent = drawn(log, {"NO_COLOR": no_color} if no_color else {})
    assert b"Count on" in sent and b"At a stop" in sent
    assert bool(colours_in(sent)) == (not no_color), sorted(colours_in(sent))[:5]


def drawn(log: Path, extra: dict[str, str]) -> bytes:
    """Everything the app writes to a terminal while it comes up and a page is opened."""
    ours, theirs = pty.openpty()
    ioctl(theirs, TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    env = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TEXTUAL_THEME")}
    env |= {"TERM": "xterm-256color", "PYTHONPATH": str(ROOT), **extra}
    command = [sys.executable, "-m", "vanlife_supply", "--db", str(log)]
    child = subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, env=env, start_new_session=True)
    os.close(theirs)
    try:
        sent = until(ours, b"Count on")
        os.write(ours, b"o")
        return sent + until(ours, b"At a stop")
    finally:
        child.kill()
        child.wait()
        os.close(ours)


def until(terminal: int, words: bytes) -> bytes:
    """What comes until those words do; a minute at most."""
    sent, end = b"", time.monotonic() + 60
    while words not in sent and time.monotonic() < end:
        if select.select([terminal], [], [], 0.5)[0]:
            sent += os.read(terminal, 65536)
    return sent


if __name__ == "__main__":
    print(figures())
