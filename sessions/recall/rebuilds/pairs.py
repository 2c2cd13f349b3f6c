"""Pairs and groups in a rebuild: chains that were set up together, and whether the sides of a pair
are set and read alike."""

from collections import defaultdict
from collections.abc import Hashable, Iterable
from dataclasses import dataclass

from gear.audio.values import format_value, setting_text
from gear.panels.strokes import Drawing
from sessions.recall.rebuilds.lines import ChainChecklist, StageLine
from sessions.recall.rebuilds.tone import TOLERANCE_DB, StageTone
from sessions.recall.sheet.wanted import WantedChain
from sessions.setups.grouping.drawing import pair_drawing
from sessions.setups.models import GroupFacts


@dataclass(frozen=True)
class SidesTone:
    """What the same tone reads on the first side above the second, at one stage, in dB; `expected_db`
    is how far apart they ought to be: two gains may have been set apart on purpose."""

    line: StageLine
    difference_db: float
    expected_db: float

    @property
    def out_by_db(self) -> float:
        return round(self.difference_db - self.expected_db, 2) + 0.0

    @property
    def is_out(self) -> bool:
        return abs(self.out_by_db) > TOLERANCE_DB

    @property
    def out_by_text(self) -> str:
        return format_value(round(abs(self.out_by_db), 1), "dB")

    @property
    def louder(self) -> int:
        """Which side reads too much against the other: 0 is the first."""
        return 0 if self.out_by_db > 0 else 1


@dataclass(frozen=True)
class RebuiltGroup:
    """The chains of a pair or a group that are set up again; of a pair the facts of no one side."""

    facts: GroupFacts
    chains: tuple[ChainChecklist, ...]

    @property
    def is_whole_pair(self) -> bool:
        return self.facts.is_pair and len(self.chains) == 2

    @property
    def drawing(self) -> Drawing | None:
        return pair_drawing(self.facts) if self.facts.is_pair else None

    @property
    def parted(self) -> list[str]:
        """Of a pair, what was logged on one side otherwise than on the other: Gain 36 dB / 30 dB."""
        return [words for first, second in self._stages for words in _parted(first, second)]

    @property
    def other_units(self) -> list[tuple[StageLine, StageLine]]:
        """Of a pair, stages for which the sides now have units of two models."""
        return [
            (first, second)
            for first, second in self._stages
            if first.in_use
            and second.in_use
            and str(first.in_use.model) != str(second.in_use.model)
        ]

    @property
    def tones(self) -> list[SidesTone]:
        """Of a pair, the stages at which both sides were read."""
        if not self.is_whole_pair:
            return []
        first, second = (
            {line.step.position: tone for line, tone in chain.with_tone} for chain in self.chains
        )
        lines = {line.step.position: line for line in self.chains[0].stages}
        return [
            _sides(lines[position], tone, second[position])
            for position, tone in first.items()
            if position in second and None not in (tone.now.dbu, second[position].now.dbu)
        ]

    @property
    def out(self) -> list[tuple[SidesTone, ChainChecklist]]:
        """Where the sides read apart by more than they ought to, and the side that is louder."""
        return [(tone, self.chains[tone.louder]) for tone in self.tones if tone.is_out]

    @property
    def _stages(self) -> list[tuple[StageLine, StageLine]]:
        if not self.is_whole_pair:
            return []
        second = {line.step.position: line for line in self.chains[1].stages}
        return [
            (line, second[line.step.position])
            for line in self.chains[0].stages
            if line.step.position in second
        ]


def groups_of(chains: Iterable[ChainChecklist]) -> list[RebuiltGroup]:
    """In the order of their first chains; who stands alone now is in none."""
    found: dict[Hashable, list[ChainChecklist]] = defaultdict(list)
    for chain in chains:
        if chain.wanted.group:
            found[group_key(chain.wanted)].append(chain)
    return [
        RebuiltGroup(GroupFacts(**vars(ours[0].wanted.group) | {"seat": ""}), tuple(ours))
        for ours in found.values()
        if len(ours) > 1
    ]


def group_key(chain: WantedChain) -> Hashable:
    """A group's name is its own within one setup."""
    return (chain.revision.chain.setup_id if chain.revision else None), chain.group.name


def _parted(first: StageLine, second: StageLine) -> Iterable[str]:
    theirs = {control.key: value for control, value in second.wanted.logged()}
    for control, value in first.wanted.logged():
        other = theirs.get(control.key)
        if other is not None and other != value:
            texts = (setting_text(each, control.dial(), control.unit) for each in (value, other))
            yield f"{control.label} {' / '.join(texts)}"


def _sides(line: StageLine, first: StageTone, second: StageTone) -> SidesTone:
    expected = 0.0
    if None not in (first.expected, second.expected):
        expected = first.expected - second.expected
    return SidesTone(line, first.now.dbu - second.now.dbu, expected)
