"""Where the chains of a printed sheet break: each stays whole, unless the page before it would be left
under half full. What fits is estimated: the layout knows it only when it is done."""

from collections.abc import Iterable
from math import ceil

from sessions.setups.signal_path.units import ControlGroup, StageSheet

PAGE_MM, HEAD_MM, WIRE_MM, BRIEF_MM, ROW_MM = 258, 34, 5, 11, 9.5
PHOTOS_MM, PHOTOS_ACROSS, SOUND_MM = 45, 4, 26
LEAST_FULL = 0.65  # of a page, with room for what the estimate misses


def run_on(chains: Iterable) -> frozenset[int]:
    """The places of the ChainSheets that begin on the page where the one before ends, whole or not."""
    used, found = 0.0, set()
    for place, chain in enumerate(chains, 1):
        height = HEAD_MM + sum(WIRE_MM + _height(sheet) for sheet in chain.stages)
        if groups := chain.amplifier_groups:
            height += BRIEF_MM + ROW_MM * _rows(groups, 6)
        height += PHOTOS_MM * ceil(len(chain.photos) / PHOTOS_ACROSS)
        height += SOUND_MM * len(chain.sounds)
        if used + height <= PAGE_MM:
            used += height
        elif 0 < used < LEAST_FULL * PAGE_MM:
            found.add(place)
            used = (used + height) % PAGE_MM
        else:
            used = height % PAGE_MM
    return frozenset(found)


def _height(sheet: StageSheet) -> float:
    if sheet.is_brief:
        return BRIEF_MM
    across = 4 if sheet.curves else 6
    return BRIEF_MM + ROW_MM * _rows(sheet.groups, across)


def _rows(groups: Iterable[ControlGroup], across: int) -> int:
    return sum(ceil(len(group.controls) / across) for group in groups)
