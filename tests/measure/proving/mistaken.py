"""Wrong, foreign and damaged recordings: each must be called what it is, in words, within limits."""

import json
import random
import struct
import tempfile
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from gear.audio.proving.analysing import analyse
from gear.audio.proving.plan import Plan
from gear.audio.proving.result import NotMeasured, Result
from sessions.limited import ChildFailed, run_limited
from sessions.recall.proving.running import CPU_SECONDS, MEMORY_BYTES
from tests.measure.proving.figures import RESPONSE, judged
from tests.measure.timing import processor_time
from tests.signals import write_wav
from tests.simulated import CABLE, simulated_return, truth_of
from tests.simulated.wrong import KINDS, Wrongs

PLAN = Plan(48_000, -12.0, 0.1)
EVERY = 4  # of so many, one is a damaged file
MOST_SECONDS, LONGEST_SENTENCE = 10.0, 300


@dataclass(frozen=True)
class Verdict:
    asked: Counter
    wrong: tuple[str, ...]
    slowest_s: float

    @property
    def holds(self) -> bool:
        return not self.wrong and self.slowest_s <= MOST_SECONDS

    def __str__(self) -> str:
        kinds = ", ".join(f"{many} × {kind}" for kind, many in sorted(self.asked.items()))
        found = "\n".join(self.wrong) or "nothing"
        return f"asked {kinds}\nwrong {found}\nslowest {self.slowest_s:.1f} s of processor, at most {MOST_SECONDS:g}\nholds {self.holds}"


def prove(count: int, seed: int) -> Verdict:
    asked, wrong, slowest = Counter(), [], 0.0
    wrongs, damaged = Wrongs(PLAN), Damaged()
    kinds = list(KINDS)
    for number in range(seed, seed + count):
        chance, began = random.Random(number), processor_time()
        if number % EVERY == 0:
            kind, complaint = damaged.complaint(chance)
        else:
            kind = kinds[number % len(kinds)]
            complaint = _complaint(wrongs, kind, chance)
        slowest = max(slowest, processor_time() - began)
        asked[kind] += 1
        if complaint:
            wrong.append(f"{number}, {kind}: {complaint}")
    return Verdict(asked, tuple(wrong), slowest)


def _complaint(wrongs: Wrongs, kind: str, chance: random.Random) -> str:
    """What is wrong with how it was recognised, or nothing."""
    made = wrongs.drawn(chance, kind)
    try:
        result = analyse(PLAN, made.samples.astype(np.float32), made.rate_hz)
    except NotMeasured as refusal:
        if refusal.key not in made.keys:
            return f"called {refusal.key!r}: {refusal}"
        return _wording(str(refusal))
    found = [fault for fault in result.faults if fault.key in made.keys]
    if not found:
        return f"taken for a return, with {[fault.key for fault in result.faults] or 'no faults'}"
    return _wording(found[0].sentence)


def _wording(sentence: str) -> str:
    if not 10 < len(sentence) < LONGEST_SENTENCE or not sentence.rstrip().endswith("."):
        return f"not said in words: {sentence!r}"
    return ""


class Damaged:
    """Files that don't open, or not whole, read as the worker reads them: in a child with limits. What
    the damage didn't reach may be measured, but then it has to be right."""

    def __init__(self):
        self._truth = truth_of(PLAN, CABLE)
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "return.wav"
            write_wav(path, simulated_return(PLAN, CABLE)[:, None], rate=PLAN.rate_hz)
            self._whole = path.read_bytes()

    def complaint(self, chance: random.Random) -> tuple[str, str]:
        damage = chance.choice(DAMAGES)
        kind = damage.__name__.strip("_").replace("_", " ")
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "return.wav"
            path.write_bytes(damage(self._whole, chance))
            try:
                answer = run_limited(
                    "sessions.recall.proving",
                    str(path),
                    memory_bytes=MEMORY_BYTES,
                    cpu_seconds=CPU_SECONDS,
                    wall_seconds=600,
                    content=[json.dumps(PLAN.as_json()).encode()],
                )
            except ChildFailed as failure:
                return kind, f"the child failed: {failure!r}"
        told = json.loads(answer)
        if "refusal" in told and damage is _on_the_second_channel:
            return kind, f"refused: {told['refusal']}"
        if "refusal" in told:
            return kind, _wording(told["refusal"])
        result = Result.from_json(told["result"])
        off = [by for figure, by in judged(self._truth, result) if figure is RESPONSE]
        if result.faults or (off and abs(off[0]) <= RESPONSE.always):
            return kind, ""
        return kind, f"measured, off by {off} dB"


def _cut_off(whole: bytes, chance: random.Random) -> bytes:
    return whole[: chance.randrange(len(whole))]


def _cut_in_the_header(whole: bytes, chance: random.Random) -> bytes:
    return whole[: chance.randrange(60)]


def _bits_turned_in_the_header(whole: bytes, chance: random.Random) -> bytes:
    made = bytearray(whole)
    for _ in range(chance.randint(1, 8)):
        made[chance.randrange(4, 60)] ^= 1 << chance.randrange(8)
    return bytes(made)


def _numbers_in_the_header(whole: bytes, chance: random.Random) -> bytes:
    """Channels, rates, widths and lengths of another world."""
    made, at = bytearray(whole), chance.choice((4, 16, 20, 22, 24, 28, 32, 34, 40))
    value = chance.choice((0, 1, 3, 0x7FFF, 0xFFFF, 0x7FFFFFFF, 0xFFFFFFFF))
    struct.pack_into("<H", made, at, value & 0xFFFF)
    if at in (4, 16, 24, 28, 40):
        struct.pack_into("<I", made, at, value)
    return bytes(made)


def _stretch_overwritten(whole: bytes, chance: random.Random) -> bytes:
    at, length = chance.randrange(44, len(whole)), chance.randint(5_000, 500_000)
    return whole[:at] + chance.randbytes(length) + whole[at + length :]


def _bytes_missing(whole: bytes, chance: random.Random) -> bytes:
    """An odd number of them: from there on, samples are noise."""
    at = chance.randrange(44, len(whole) - 10_000)
    return whole[:at] + whole[at + 2 * chance.randint(1, 3000) + 1 :]


def _no_sound_at_all(whole: bytes, chance: random.Random) -> bytes:
    return chance.choice((b"", b"Take 3, vocal, not this one.\n" * 40, chance.randbytes(100_000)))


def _another_kind_of_file(whole: bytes, chance: random.Random) -> bytes:
    heads = (
        b"%PDF-1.7\n",
        b"\x89PNG\r\n\x1a\n",
        b"PK\x03\x04",
        b"ID3\x04\x00",
        b"#EXTM3U\n",
        b"fLaC",
    )
    return chance.choice(heads) + whole[chance.choice((0, 44)) : 200_000]


def _on_the_second_channel(whole: bytes, chance: random.Random) -> bytes:
    """Beside a channel of noise: nothing is damaged, and it has to be measured."""
    held = (len(whole) - 44) // 3  # an odd number of bytes is followed by one that pads
    sound = np.frombuffer(whole, np.uint8, 3 * held, 44).reshape(-1, 3)
    beside = np.random.default_rng(chance.getrandbits(32)).integers(0, 256, sound.shape, np.uint8)
    both = np.concatenate([beside, sound], axis=1).tobytes()
    form = struct.pack("<HHIIHH", 1, 2, PLAN.rate_hz, PLAN.rate_hz * 6, 6, 24)
    head = b"RIFF" + struct.pack("<I", 36 + len(both)) + b"WAVEfmt " + struct.pack("<I", 16) + form
    return head + b"data" + struct.pack("<I", len(both)) + both


DAMAGES = (
    _cut_off,
    _cut_in_the_header,
    _bits_turned_in_the_header,
    _numbers_in_the_header,
    _stretch_overwritten,
    _bytes_missing,
    _no_sound_at_all,
    _another_kind_of_file,
    _on_the_second_channel,
)
