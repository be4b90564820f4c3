"""How long one logging command takes beside `sqlite-utils insert` of one row. Run by hand; nothing is asserted.

    python tests/bench/logging_command.py [ROUNDS]
"""

from __future__ import annotations

import json
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

RIG = '[rig]\ntimezone = "America/Denver"\n[[container]]\nsupply = "fresh"\nlabel = "jug"\ncount = 3\ncapacity = "7 gal"\n'


def seconds(command: list[str], stdin: str = "") -> float:
    """Wall time of one process, from start to end."""
    start = time.perf_counter()
    subprocess.run(command, input=stdin, text=True, check=True, capture_output=True)
    return time.perf_counter() - start


def main(rounds: int) -> None:
    """Interleave the two commands and print medians and the ratio."""
    with tempfile.TemporaryDirectory() as folder:
        rig, log = Path(folder) / "rig.toml", Path(folder) / "log.db"
        rig.write_text(RIG, encoding="utf-8")
        ours = [sys.executable, "-m", "vanlife_supply", "--db", str(log)]
        seconds([*ours, "rig", "load", str(rig)])
        other = shutil.which("sqlite-utils", path=str(Path(sys.executable).parent)) or "sqlite-utils"
        row = json.dumps({"id": 1, "kind": "use", "amount": 1.2})
        told: dict[str, list[float]] = {"use water 1 gal": [], "sqlite-utils insert": []}
        for i in range(rounds + 2):
            mine = seconds([*ours, "use", "water", "1", "gal"])
            theirs = seconds([other, "insert", f"{folder}/other.db", "log", "-"], row.replace("1,", f"{i},", 1))
            if i > 1:
                told["use water 1 gal"].append(mine)
                told["sqlite-utils insert"].append(theirs)
    for name, times in told.items():
        print(f"{name:<22} median {statistics.median(times) * 1e3:6.0f} ms   least {min(times) * 1e3:6.0f} ms")
    mine, theirs = (statistics.median(times) for times in told.values())
    print(f"ratio {mine / theirs:.2f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 15)
