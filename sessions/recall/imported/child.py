"""Reads a recall that another studio wrote in a process of its own, which may fail without harm."""

import json

from django.core.files import File

from sessions.limited import ChildFailed, run_limited
from sessions.recall.imported.chains import control_of
from sessions.recall.imported.reading import NotARecall

MEMORY_BYTES = 512 * 2**20
CPU_SECONDS = 5
WALL_SECONDS = 30
MOST_CONTROLS = 300


def read_in_child(file: File) -> dict:
    """The checked data of a PDF or JSON file. Raises NotARecall."""
    try:
        written = run_limited(
            "sessions.recall.imported.reading",
            memory_bytes=MEMORY_BYTES,
            cpu_seconds=CPU_SECONDS,
            wall_seconds=WALL_SECONDS,
            content=file.chunks(),
        )
    except ChildFailed as problem:
        raise NotARecall(
            "Reading this file takes more time or memory than a recall sheet’s does: it is "
            "damaged, or was made to do so. Ask for it again."
        ) from problem
    answer = json.loads(written)
    if "refusal" in answer:
        raise NotARecall(answer["refusal"])
    check_panels(answer["recall"])
    return answer["recall"]


def check_panels(data: dict) -> None:
    """That every panel makes sense to the arithmetic. Raises NotARecall."""
    for chain in data["chains"]:
        for stage in chain["stages"]:
            _check_panel(stage, f"Chain {chain['place']}, unit {stage['position']}")


def _check_panel(stage: dict, where: str) -> None:
    controls = stage["panel"]["controls"] if stage["panel"] else []
    keys = [control["key"] for control in controls]
    if len(keys) > MOST_CONTROLS or len(set(keys)) < len(keys):
        raise NotARecall(f"{where}: its panel has too many controls, or one of them twice.")
    if unknown := set(stage["settings"]) - set(keys):
        raise NotARecall(f"{where}: {', '.join(sorted(unknown))[:80]} is set but not on its panel.")
    for control in controls:
        try:
            control_of(control).dial()
        except ValueError as problem:
            raise NotARecall(f"{where}, {control['label']}: {problem}") from problem
