from collections.abc import Iterable

from simple_history.utils import bulk_create_with_history

from gear.acting import action
from sessions.setups.chains.actions import (
    Seen,
    add_chain,
    change_chain,
    changed_settings,
    claim_revision,
    lock_with_partners,
    set_alike,
)
from sessions.setups.input_list.lines import Slot
from sessions.setups.models import Chain, Revision, Setup, Stage
from sessions.setups.placement.actions import place_microphone

Alike = list[tuple[Stage, dict[str, float | None]]]

KEPT = ("unit", "channel", "panel", "patch_in", "patch_out", "path", "note")


@action
def save_lines(setup: Setup, forms: Iterable, *, by) -> list[Chain]:
    """Save the lines that were typed, each as a chain; returns those that are new or changed.

    Nothing is saved where one of them can't be: raises EditedMeanwhile or ChainRecorded.
    """
    wanted = [
        form for form in forms if not form.is_blank and (form.chain is None or form.changed_columns)
    ]
    lock_with_partners(*(form.chain for form in wanted if form.chain))
    alike: Alike = []
    chains = [_save(setup, form, alike, by=by) for form in wanted]
    for stage, settings in alike:  # once all lines are claimed as their editor saw them
        set_alike(stage, settings, by=by)
    return chains


def _save(setup: Setup, form, alike: Alike, *, by) -> Chain:
    typed, changed = form.cleaned_data, form.changed_columns
    facts = {
        "source": typed["source"],
        "track": typed["track"],
        "destination_input": typed["input"],
    }
    chain = form.chain
    if chain is None:
        chain = add_chain(setup, by=by, **facts)
        seen = Seen.of(chain.newest_revision())
    else:
        seen = typed["seen"]
        if changed & {"source", "track", "input"}:
            chain = change_chain(chain, seen=seen, by=by, **facts)
            seen = Seen.of(chain.revisions.newest().get())
    if changed - {"source", "track", "input", "stand"}:
        revision = claim_revision(chain, seen=seen, by=by)
        alike += write_stages(revision, form.slots.all)
        seen = Seen.of(revision)
    if "stand" in changed:
        place_microphone(chain, seen=seen, by=by, stand=typed["stand"])
    return chain


def write_stages(revision: Revision, slots: list[Slot]) -> Alike:
    """Make these the stages of an open revision; a stage that was there keeps what no slot says.

    Returns the stages that are set otherwise than before, with what is, for the other half of a pair.
    """
    standing = {stage.position: stage for stage in revision.stages.all()}
    kept = {slot.position for slot in slots}
    for position, stage in standing.items():
        if position not in kept:
            stage.delete()
    _make_room(revision, len(standing) + len(slots))
    new, alike = [], []
    for position, slot in enumerate(slots, 1):
        stage = standing.get(slot.position) or Stage(revision=revision)
        changed = changed_settings(stage.settings, slot.settings)
        for name in KEPT:
            setattr(stage, name, getattr(slot, name))
        stage.set_controls(slot.settings)
        stage.position = position
        if stage.pk:
            stage.save()
            alike.append((stage, changed))
        else:
            new.append(stage)
    bulk_create_with_history(new, Stage)
    return alike


def _make_room(revision: Revision, by: int) -> None:
    """No two stages may share a place, so all wait behind the last while they change places."""
    for stage in revision.stages.order_by("-position"):
        Stage.objects.filter(pk=stage.pk).update(position=stage.position + by)
