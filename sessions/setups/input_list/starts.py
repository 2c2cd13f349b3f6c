"""Lines to begin an input list with, by kind of session: sources in the usual order, and what they
are usually recorded with left open. Common practice, no source."""

DRUMS = (
    "Bass drum, inside",
    "Bass drum, outside",
    "Snare, top",
    "Snare, bottom",
    "Hi-hat",
    "Rack tom",
    "Floor tom",
    "Overhead, left",
    "Overhead, right",
    "Room",
)
STARTS = {
    "band": (
        "Band",
        (
            "Bass drum",
            "Snare",
            "Overhead, left",
            "Overhead, right",
            "Bass, direct",
            "Bass amplifier",
            "Guitar amplifier",
            "Piano, low",
            "Piano, high",
            "Lead vocal, guide",
        ),
    ),
    "drums": ("Drums", DRUMS),
    "strings": (
        "Strings",
        (
            "First violin",
            "Second violin",
            "Viola",
            "Cello",
            "Double bass",
            "Main pair, left",
            "Main pair, right",
            "Room",
        ),
    ),
    "voice": ("Voice-over", ("Voice", "Voice, second microphone", "Return of the call line")),
}
