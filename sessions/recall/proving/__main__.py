"""Child process: `python -m sessions.recall.proving MEMORY_BYTES CPU_SECONDS FILE` reads a return, given the
plan of its test file (JSON) on standard input. Its progress goes to standard error, a line for each
percentage; the result, the tones, or a refusal in words, to standard output."""

import json
import sys

from gear.audio.proving.analysing import analyse
from gear.audio.proving.result import NotMeasured
from gear.audio.proving.three_tones.layout import ThreeTones
from gear.audio.proving.three_tones.reading import find_tones
from sessions.limited import limit_this_process
from sessions.recall.proving.layouts import layout_of
from sessions.recall.proving.recording import read_recording

READ_PERCENT = 10


def main(memory_bytes: str, cpu_seconds: str, path: str) -> None:
    limit_this_process(memory_bytes, cpu_seconds)
    json.dump(_answer(path, json.load(sys.stdin)), sys.stdout)


def _answer(path: str, plan: dict) -> dict:
    try:
        plan = layout_of(plan)
    except ValueError as problem:
        return {"refusal": str(problem)}
    try:
        samples, rate_hz = read_recording(path, plan)
        _say(0)
        if isinstance(plan, ThreeTones):
            return {"tones": [tone.as_json() for tone in find_tones(plan, samples, rate_hz).tones]}
        return {"result": analyse(plan, samples, rate_hz, said=_say).as_json()}
    except NotMeasured as problem:
        return {"refusal": str(problem)}


def _say(share: float) -> None:
    sys.stderr.write(f"{READ_PERCENT + round((100 - READ_PERCENT) * share)}\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
