"""Measure and race the studio, each time on a database made for it and dropped again: a SQLite file in
a temporary folder, or a database on the PostgreSQL server that DATABASE_URL names. What is measured
is a ratio against a floor or a peer in the same run, since a busy machine slows both."""

import argparse
import random
import sys
from importlib import import_module

from tests.measure import long
from tests.measure.scratch import scratch_studio, set_up

TWO_WEEKS = 200  # sessions that fill them; less is no measure of a week


def arguments() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m tests.measure", description=__doc__)
    measures = parser.add_subparsers(dest="measure", required=True)

    def add(name: str, what: str, rounds: int = 0) -> argparse.ArgumentParser:
        measure = measures.add_parser(name, help=what, description=what)
        if rounds:
            measure.add_argument("--rounds", type=_from(1), default=rounds, help="more is steadier")
        return measure

    booking = add("booking", "the clash check and the schedule, at several numbers of sessions", 40)
    sizes = [1_000, 10_000, 100_000]
    booking.add_argument("--sizes", type=_from(TWO_WEEKS), nargs="+", default=sizes)
    desk = add("desk", "the booking form and the schedule of a large house, against the demo’s", 9)
    desk.add_argument("--sessions", type=_from(1), default=20_000)
    desk.add_argument("--units", type=_from(50), default=150)
    desk.add_argument("--people", type=_from(10), default=60)
    add("setups", "a page of chains of 58 controls, shown and saved", 15)
    takes = add("takes", "pages of takes, with very many of them in the database", 15)
    takes.add_argument("--takes", type=_from(1_000), default=1_000_000)
    pages = add("pages", "lists and detail pages of a very large house, against Django’s admin", 5)
    pages.add_argument("--sessions", type=_from(10_000), default=100_000)
    pages.add_argument("--takes", type=_from(100_000), default=1_000_000)
    recall = add("recall", "recall sheets, made and served", 3)
    recall.add_argument("--chains", type=_from(1), nargs="+", default=[1, 4, 12])
    find = add("find", "finding among thousands of songs", 8)
    find.add_argument("--songs", type=_from(100), default=5_000)
    race = add("race", "many who book the same things at once, and are killed in the middle of it")
    race.add_argument("--writers", type=_from(2), default=16)
    race.add_argument("--seconds", type=float, default=30)
    race.add_argument("--heats", type=_from(1), default=2, help="each ends by the kill")
    race.add_argument("--http", action="store_true", help="through gunicorn and the forms")
    race.add_argument("--seed", type=int, default=1)
    slow = add("slow", "ten people behind the shipped proxy, beside clients that are slow or hang")
    slow.add_argument("--clients", type=_from(1), default=100)
    slow.add_argument("--seconds", type=float, default=20)
    group = add("group", "what 1, 2 and 4 processes of the server carry")
    group.add_argument("--seconds", type=float, default=20)
    group.add_argument("--people", type=_from(1), default=8)
    fill = add("fill", "fill the empty database that DATABASE_URL or DATA_DIR names, and keep it")
    fill.add_argument("--sessions", type=_from(1), default=1_000)
    fill.add_argument("--takes", type=_from(0), help="20 a session, unless this says otherwise")
    audio = add("audio", "the meter against the ffmpeg command, and the published signals", 3)
    audio.add_argument("--minutes", type=_from(1), default=30, help="of stereo in each file")
    audio.add_argument("--rates", type=_from(8_000), nargs="+", default=[48_000, 96_000, 192_000])
    audio.add_argument("--published", action="store_true", help="the signals, at all rates, alone")
    add("proving", "a whole return of a test file at 96 kHz, its time and memory", 3)
    hours = add("long", "what takes hours: all parts, or those that are named")
    hours.add_argument("parts", nargs="*", metavar="part", help=", ".join(long.PARTS))
    hours.add_argument("--count", type=_from(1), help="how much, as each part counts it")
    hours.add_argument("--share", action="store_true", help="as little of each as CI runs")
    hours.add_argument("--seed", type=int, default=random.randrange(10**6))
    return parser


def _from(least: int):
    def number(text: str) -> int:
        if int(text) < least:
            raise argparse.ArgumentTypeError(f"{least} or more")
        return int(text)

    return number


def main(name: str, wanted: dict) -> bool:
    """Print what is found. Whether all holds that must: a ratio over its goal is only said."""
    held = True
    for found in import_module(f"tests.measure.{name}").measure(**wanted):
        print(found, flush=True)
        held &= getattr(found, "holds", True)
    return held


if __name__ == "__main__":
    parser = arguments()
    options = vars(parser.parse_args())
    name = options.pop("measure")
    if unknown := set(options.get("parts", ())) - set(long.PARTS):
        parser.error(f"no such part: {', '.join(unknown)}")
    if name == "long" and len(options["parts"]) != 1:
        sys.exit(not long.measure_each(**options))
    if name in ("audio", "proving"):
        sys.exit(not main(name, options))
    if name == "fill":
        set_up(migrations=True)
        sys.exit(not main(name, options))
    with scratch_studio():
        held = main(name, options)
    sys.exit(not held)
