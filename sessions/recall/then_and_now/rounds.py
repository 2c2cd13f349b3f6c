"""The rounds of a rebuilt chain: what was turned, then measured, and what undoing it asks for."""

from collections.abc import Iterable
from dataclasses import dataclass

from sessions.recall.rebuilds.lines import ChainChecklist
from sessions.recall.sound.rounds import Round
from sessions.recall.then_and_now.turns import Ticked, Turned, turned_between


@dataclass(frozen=True)
class TurnedRound:
    """turned: since the round before it that stands; of the first, nothing is told. is_newest: of those that
    stand, so that undoing it turns that back."""

    round: Round
    turned: tuple[Turned, ...]
    is_newest: bool = False

    @property
    def turned_words(self) -> str:
        return "; ".join(each.words for each in self.turned)


def turned_rounds(
    chain: ChainChecklist, rounds: Iterable[Round], ticks: Iterable[Ticked]
) -> list[TurnedRound]:
    """The newest first."""
    rounds, ticks, found, before = list(rounds), list(ticks), [], None
    standing = [each for each in rounds if not each.measurement.is_undone]
    for each in rounds:
        at = each.measurement.measured_at
        turned = turned_between(chain, ticks, before, at) if before else ()
        found.append(TurnedRound(each, tuple(turned), is_newest=each in standing[-1:]))
        if not each.measurement.is_undone:
            before = at
    return found[::-1]
