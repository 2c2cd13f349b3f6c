"""A light copy of a sound file: AAC in an M4A whose index comes first, so that it plays and seeks
before it is all there. No Django here; run as a child:
`python -m sessions.deliverables.listening.encoding MEMORY_BYTES CPU_SECONDS FROM TO`.

AAC rather than MP3: at the same bit rate libav's encoder kept the loudness within 0.01 LU, where
LAME turned the sound down by 0.26 dB, and seeking goes by an index instead of an estimate.
"""

import sys

import av

from sessions.deliverables.measuring.decoding import OPENING
from sessions.limited import limit_this_process

CODEC = "aac"
BIT_RATE = 192_000  # of a stereo pair
RATES = (44_100, 48_000)
LARGEST_COPY = 4 << 30  # bytes: two days of stereo


def encode_light(source: str, copy: str) -> None:
    """Mono stays mono; more than two channels are mixed down to two. Raises av.FFmpegError."""
    with (
        av.open(source, metadata_errors="replace", options=OPENING) as read,
        av.open(copy, "w", format="mp4", options={"movflags": "+faststart"}) as written,
    ):
        sound = read.streams.audio[0]
        layout = "mono" if sound.codec_context.channels == 1 else "stereo"
        stream = written.add_stream(
            CODEC, rate=_rate(sound.codec_context.sample_rate), layout=layout, format="fltp"
        )
        stream.bit_rate = BIT_RATE if layout == "stereo" else BIT_RATE // 2
        resampler = av.AudioResampler(format="fltp", layout=layout, rate=stream.rate)
        for frame in read.decode(sound):
            frame.pts = None
            for part in resampler.resample(frame):
                written.mux(stream.encode(part))
        for part in resampler.resample(None):
            written.mux(stream.encode(part))
        written.mux(stream.encode(None))


def _rate(rate: int) -> int:
    """88.2 and 176.4 kHz become 44.1 kHz, whatever else is no rate of a phone's becomes 48 kHz."""
    return next((known for known in RATES if rate % known == 0), 48_000)


if __name__ == "__main__":
    limit_this_process(*sys.argv[1:3], file_bytes=LARGEST_COPY)
    encode_light(*sys.argv[3:])
