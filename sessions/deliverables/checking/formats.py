"""Container, codec, rate and depth of one file (rules 2 and 3 of delivery, common practice)."""

from collections.abc import Iterator

from sessions.clients.models import BitDepth, SampleRate
from sessions.clients.orders import Container
from sessions.deliverables.models import DeliverableFile

from .asked import Asked
from .checks import PRACTICE, Check, Outcome

LONG_WAVES = {"rf64": "wav", "bw64": "wav"}
HELD_BY_FLOAT = 24  # bits of a sample that 32-bit floating point keeps exactly


def container(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    kind = LONG_WAVES.get(file.container, file.container)
    is_sound_whole = file.lossless or asked.is_reference
    if agreed := asked.order.containers:
        wanted = asked.order.containers_in_words
        verdict = Outcome.PASS if kind in agreed else Outcome.FAIL
        said = f"{file.format.word}, as ordered." if kind in agreed else (
            f"The file is {file.format.word}; {wanted} is ordered."
        )  # fmt: skip
        yield Check(verdict, "Container", said, asked.source, file)
    elif is_sound_whole:
        usual = kind in (Container.WAV, Container.AIFF) or asked.is_reference
        said = f"{file.format.word}." if usual else (
            f"{file.format.word} loses nothing, but WAV or AIFF is what others expect."
        )  # fmt: skip
        verdict = Outcome.PASS if usual else Outcome.WARNING
        yield Check(verdict, "Container", said, PRACTICE, file)
    if file.lossless:
        return
    if asked.is_reference:
        said = f"{file.codec_in_words} is lossy: fine to listen to, not to mix from."
        yield Check(Outcome.NOTE, "Lossy", said, PRACTICE, file)
    else:
        said = f"{file.codec_in_words} is lossy: export it as WAV."
        yield Check(Outcome.FAIL, "Lossy", said, PRACTICE, file)


def rate_and_depth(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    """What is only listened to may be in another format."""
    wrong = Outcome.WARNING if asked.is_reference else Outcome.FAIL
    wanted = SampleRate(asked.rate).label
    if file.sample_rate == asked.rate:
        yield Check(Outcome.PASS, "Sample rate", f"{wanted}.", _source(asked, "sample_rate"), file)
    else:
        said = f"The file has {file.rate_in_words}; {_wanted(asked, 'sample_rate', wanted)}."
        yield Check(wrong, "Sample rate", said, _source(asked, "sample_rate"), file)
    if not file.bit_depth:
        return
    wanted = BitDepth(asked.depth).label
    if file.depth_in_words == wanted:
        yield Check(Outcome.PASS, "Bit depth", f"{wanted}.", _source(asked, "bit_depth"), file)
    else:
        less = wrong if file.bit_depth < asked.depth else Outcome.WARNING
        said = f"The file has {file.depth_in_words}; {_wanted(asked, 'bit_depth', wanted)}."
        yield Check(less, "Bit depth", said, _source(asked, "bit_depth"), file)


def bits_in_use(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    """A depth that was only raised on paper. Silence uses no bits."""
    if not file.bit_depth or not file.valid_bits or file.sample_peak_dbfs is None:
        return
    could = min(file.bit_depth, HELD_BY_FLOAT)
    if file.valid_bits >= could:
        yield Check(Outcome.PASS, "Bits in use", "All of them.", "the samples themselves", file)
        return
    said = (
        f"{file.valid_bits} of {file.bit_depth} bits are in use: what was recorded with fewer bits "
        "gains nothing from more. Deliver it as it was recorded, or export it from its origin again."
    )
    yield Check(
        Outcome.WARNING, "Bits in use", said, f"no raising of rate or depth: {PRACTICE}", file
    )


def _wanted(asked: Asked, name: str, value: str) -> str:
    if getattr(asked.order, name):
        return f"{value} is ordered"
    return f"the project is recorded {'at' if name == 'sample_rate' else 'with'} {value}"


def _source(asked: Asked, name: str) -> str:
    return asked.source if getattr(asked.order, name) else f"the format of {asked.project}"
