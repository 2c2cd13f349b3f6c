"""The other depth of a measurement: three tones, for the many chains of a day."""

from gear.audio.proving.three_tones.layout import (
    BOTTOMS_HZ,
    MIDDLE_HZ,
    TOPS_HZ,
    USUAL_BOTTOM_HZ,
    USUAL_TOP_HZ,
    ThreeTones,
)
from gear.audio.proving.three_tones.reading import ToneRead, TonesRead, find_tones
from gear.audio.proving.three_tones.tone import Tone, compare_tones, tones_of
