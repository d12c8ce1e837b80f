"""What ten thousand steps cost."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

RUN = """
import datetime, json, resource, sys
from survey_app.session import History
from survey_app.site import Design, Site
from survey_app.site.edits import change
from survey_app.site.mount import Mount
from survey_app.site.place import EdgePlace, PlanePoint
from survey_app.site.structure import Building

def building(number):
    corners = tuple(PlanePoint(x_m=10.0 * number + x, y_m=y) for x, y in
                    ((0.0, 0.0), (4.0, 0.0), (8.0, 0.0), (8.0, 4.0), (8.0, 8.0), (4.0, 8.0), (0.0, 8.0), (0.0, 4.0)))
    return Building(kind="building", id=f"b{number}", outline=corners)

def mount(number):
    place = EdgePlace(kind="edge", edge=0, along_m=1.0)
    return Mount(id=f"m{number}", structure=f"b{number}", place=place, height_m=5.0)

first = Site(design=Design(
    name="big", as_of=datetime.date(2026, 12, 1),
    structures=tuple(building(number) for number in range(2000)),
    mounts=tuple(mount(number) for number in range(1680)),
))
def megabytes():
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / (1e6 if sys.platform == "darwin" else 1e3)

before = megabytes()
history = History(first)
for step in range(10_000):
    history.seal()
    site = history.current
    after = history.apply(change(site, f"b{step % 2000}", eaves_height_m=7.0 + step % 300 / 10))
    assert after.design.mounts is site.design.mounts
peak = megabytes() - before
same = sum(a is b for a, b in zip(first.design.structures, after.design.structures))
for step in range(10_000):
    history.undo()
print(json.dumps({"megabytes": peak, "same_object": history.current is first, "left": len(history.labels)}))
"""


@pytest.mark.skipif(os.name != "posix", reason="the system does not tell the memory of a process")
def test_ten_thousand_steps_undone_give_the_same_object_within_250_megabytes() -> None:
    done = subprocess.run(
        [sys.executable, "-c", RUN],
        capture_output=True,
        text=True,
        cwd=Path(__file__).resolve().parents[2],
        timeout=120,
        check=False,
    )
    assert done.stderr == ""
    found = json.loads(done.stdout)
    assert found["same_object"] is True
    assert found["left"] == 0
    assert found["megabytes"] < 250
