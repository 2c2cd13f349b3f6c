"""What the containers and codecs of sound are called, and how a browser is told of them."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Format:
    """`word` for people, `content_type` for browsers, `endings` of a file's name, ours first.

    `in_browsers` says whether the usual browsers play it (common practice, no source).
    """

    word: str
    content_type: str
    endings: tuple[str, ...]
    in_browsers: bool = False

    @property
    def ending(self) -> str:
        return self.endings[0] if self.endings else ".bin"


# Content types: RFC 3003 (MPEG), 4337 (MP4), 5334 (Ogg), 9559 (Matroska), 9639 (FLAC); those of
# WAV, AIFF and CAF are the names in use, no source.
FORMATS = {
    "wav": Format("WAV", "audio/wav", (".wav", ".wave", ".bwf"), in_browsers=True),
    "rf64": Format("WAV (RF64)", "audio/wav", (".wav", ".rf64", ".wave", ".bwf")),
    "bw64": Format("WAV (BW64)", "audio/wav", (".wav", ".bw64", ".wave", ".bwf")),
    "aiff": Format("AIFF", "audio/aiff", (".aiff", ".aif", ".aifc")),
    "caf": Format("CAF", "audio/x-caf", (".caf",)),
    "flac": Format("FLAC", "audio/flac", (".flac",), in_browsers=True),
    "mp3": Format("MP3", "audio/mpeg", (".mp3", ".mp2", ".mpga"), in_browsers=True),
    "aac": Format("AAC", "audio/aac", (".aac",), in_browsers=True),
    "ogg": Format("Ogg", "audio/ogg", (".ogg", ".oga", ".opus"), in_browsers=True),
    "mp4": Format("MP4", "audio/mp4", (".m4a", ".mp4", ".mov", ".m4b"), in_browsers=True),
    "matroska": Format("Matroska", "audio/matroska", (".mka", ".mkv", ".webm")),
}

CODECS = {
    "mp3float": "MPEG layer III",
    "mp3": "MPEG layer III",
    "aac": "AAC",
    "flac": "FLAC",
    "alac": "ALAC",
    "opus": "Opus",
    "libopus": "Opus",
    "vorbis": "Vorbis",
}


def format_of(container: str) -> Format:
    """A container without a row is handed out as plain bytes, under its own name."""
    return FORMATS.get(container) or Format(container, "application/octet-stream", ())


def codec_in_words(codec: str) -> str:
    """The codec as people say it; one that has no row keeps the decoder's name."""
    if codec.startswith("pcm_"):
        return "floating-point PCM" if is_floating(codec) else "linear PCM"
    return CODECS.get(codec, codec)


def is_floating(codec: str) -> bool:
    return codec.startswith("pcm_f")
