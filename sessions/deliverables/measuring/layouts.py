"""Which loudspeaker each channel is for, and how much it weighs in the loudness (ITU-R BS.1770-5)."""

import av

# Files often name no loudspeakers. The order of ITU-R BS.2051 is taken for these counts, because
# the surround channels weigh more and the low-frequency channel not at all.
ASSUMED_LAYOUTS = {1: "mono", 2: "stereo", 5: "5.0(side)", 6: "5.1(side)"}

# Where ITU-R BS.2051 puts them: beside the listener they weigh more (an elevation below 30° and
# an azimuth of 60° to 120°). All others that can be named weigh alike, those above as well.
SIDE_WEIGHT = 1.41
AT_THE_SIDE = {"SL", "SR", "WL", "WR"}
LOW_FREQUENCY = {"LFE", "LFE2"}
ELSEWHERE = {
    "FL", "FR", "FC", "FLC", "FRC", "BL", "BR", "BC", "BFL", "BFC", "BFR",
    "TC", "TFL", "TFC", "TFR", "TSL", "TSR", "TBL", "TBC", "TBR",
}  # fmt: skip


def layout_of(frame: av.AudioFrame) -> str:
    """The layout that the file states or, where it states none, the assumed one."""
    stated = frame.layout.name
    if not stated.endswith(" channels"):
        return stated
    return ASSUMED_LAYOUTS.get(frame.layout.nb_channels, stated)


def weights_of(layout: str) -> list[float] | None:
    """One for each channel; None where a channel has no place that is known.

    A back pair without a side pair is the surround pair of 5.1, at 110°. In 22.2 the front pair
    stands at 60°, outside the pair "of centre" at 30°.
    """
    names = [channel.name for channel in av.AudioLayout(layout).channels]
    side = set(AT_THE_SIDE)
    if not side & set(names):
        side |= {"BL", "BR"}
    if layout == "22.2":
        side |= {"FL", "FR"}
    if set(names) - ELSEWHERE - LOW_FREQUENCY - side:
        return None
    return [
        0.0 if name in LOW_FREQUENCY else SIDE_WEIGHT if name in side else 1.0 for name in names
    ]
