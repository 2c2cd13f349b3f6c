"""Damaged files give a measurement or a refusal: no other error, no crash, no hang."""

import multiprocessing
import random
import resource

from sessions.deliverables.measuring import Measurement, UnmeasurableFile, measure
from tests.signals import bext, channels, chunk, encode, noise, tone, write_aiff, write_wav

DAMAGED_FILES = 400
CPU_SECONDS = 60
MEMORY_BYTES = 1 << 30


def good_files(folder):
    both = channels(tone(0.4, -20), noise(0.4, -30))
    one = both[:, :1]
    notes = bext(b"Neap Tide", b"Quay Steps", 5) + chunk(
        b"iXML", b"<BWFXML><TAKE>7</TAKE></BWFXML>"
    )
    return [
        write_wav(folder / "a.wav", both[:3000], before=notes),
        write_wav(folder / "b.wav", one[:3000], kind=b"RF64", mask=4),
        write_wav(folder / "c.wav", one[:3000], bits=32, floating=True),
        write_aiff(folder / "a.aiff", one[:3000]),
        write_aiff(folder / "b.aifc", one[:3000], compression=b"sowt", bits=16),
        encode(folder / "a.flac", both, "flac", sample_format="s16"),
        encode(folder / "a.mp3", both, "libmp3lame"),
        encode(folder / "a.ogg", both, "libopus", sample_format="flt"),
        encode(folder / "a.m4a", both, "aac"),
        encode(folder / "b.m4a", one, "alac", sample_format="s16p"),
        encode(folder / "a.caf", one[:3000], "pcm_s16be", sample_format="s16"),
        encode(folder / "a.mka", one, "flac", sample_format="s16"),
    ]


def damaged(content: bytes, chance: random.Random) -> bytes:
    """Cut at random or not, with up to fifty bytes changed, most of them in the header."""
    broken = bytearray(content)
    if chance.random() < 0.4:
        broken = broken[: chance.randrange(1, len(broken))]
    reach = len(broken) if chance.random() < 0.4 else min(len(broken), 200)
    for _ in range(chance.choice((0, 1, 3, 10, 50))):
        broken[chance.randrange(reach)] = chance.randrange(256)
    return bytes(broken)


def measure_all(folder, outcomes) -> None:
    """Runs in a process of its own, within limits; what it did goes into the pipe."""
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_SECONDS, CPU_SECONDS))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    for path in sorted(folder.iterdir()):
        try:
            outcome = type(measure(path)).__name__
        except Exception as error:
            outcome = type(error).__name__
        outcomes.send((path.name, outcome))
    outcomes.close()


def outcomes_of(folder) -> dict[str, str]:
    context = multiprocessing.get_context("spawn")
    reading, writing = context.Pipe(duplex=False)
    process = context.Process(target=measure_all, args=(folder, writing))
    process.start()
    writing.close()
    found = {}
    try:
        while reading.poll(2 * CPU_SECONDS):
            name, outcome = reading.recv()
            found[name] = outcome
    except EOFError:
        pass
    process.kill()
    process.join()
    return found


def test_damaged_files_give_a_measurement_or_a_refusal(tmp_path):
    good, bad = tmp_path / "good", tmp_path / "bad"
    good.mkdir()
    bad.mkdir()
    sources = [(path.suffix, path.read_bytes()) for path in good_files(good)]
    for seed in range(DAMAGED_FILES):
        ending, content = sources[seed % len(sources)]
        (bad / f"{seed:04}{ending}").write_bytes(damaged(content, random.Random(seed)))

    outcomes = outcomes_of(bad)

    measured, refused = Measurement.__name__, UnmeasurableFile.__name__
    assert len(outcomes) == DAMAGED_FILES
    assert {name: each for name, each in outcomes.items() if each not in (measured, refused)} == {}
    # The damage is real, and not so coarse that every file falls at the first check.
    assert 0.3 < list(outcomes.values()).count(refused) / DAMAGED_FILES < 0.95
