"""A copy asks for what was set: not for 48 V where today's record says that it can damage something."""

from collections.abc import Collection, Iterator

from gear.equipment.phantom import ruling_at
from gear.panels.models import Meaning
from sessions.setups.chains.phantom import line_of
from sessions.setups.models import Chain, Revision
from sessions.setups.patching.patch_list import newest_of_sessions


def leave_out_what_harms(chains: Collection[Chain]) -> list[str]:
    """Of chains that were copied, or copied into, just now: what is not yet set. Says what was left
    out. Other chains may have been recorded, and stay. Call inside an action."""
    ours = {chain.pk for chain in chains}
    revisions = list(newest_of_sessions({chain.setup.session_id for chain in chains}))
    up = [each for each in revisions if each.chain.is_up]
    return [
        sentence
        for revision in revisions
        if revision.chain_id in ours
        for sentence in _left_out(revision, up)
    ]


def _left_out(revision: Revision, up: list[Revision]) -> Iterator[str]:
    line = line_of(revision)
    lines = [line, *(line_of(each) for each in up if each.pk != revision.pk)]
    for stage, place in zip(revision.stages.all(), line.places, strict=True):
        asked = {
            control.key
            for control in stage.controls_for(Meaning.PHANTOM)
            if control.key in stage.not_yet_set and (stage.setting(control) or 0) > 0
        }
        if asked and (why_not := ruling_at(place, lines).why_not):
            stage.settings = {
                key: value for key, value in stage.settings.items() if key not in asked
            }
            stage.touch(*asked)
            stage.save()
            yield f"48 V on at {stage.facts.unit}, in {revision.chain}. {why_not}: leave it off."
