"""The sample files beside the project, and files invented for these tests."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from vanlife_supply.place.readers import Read, read_places

steady = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
"""Properties that hold on a busy machine too: no time limit on an example."""
SAMPLES = Path(__file__).resolve().parents[3] / "shared" / "samples"
DATA = Path(__file__).parent / "data"


def sample(name: str) -> bytes:
    """The bytes of a sample file; skips the test where the samples are absent."""
    path = SAMPLES / name
    if not path.exists():
        pytest.skip(f"the sample {name} is not beside this project")
    return path.read_bytes()


def read_sample(name: str) -> Read:
    """A sample file as read."""
    return read_places(sample(name), Path(name).name)


def read_data(name: str) -> Read:
    """A file of tests/place/data as read."""
    return read_places((DATA / name).read_bytes(), name)


def gpx(points: str) -> bytes:
    """A GPX 1.1 file around some elements."""
    return f'<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">{points}</gpx>'.encode()
