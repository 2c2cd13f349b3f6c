from collections.abc import Iterable

from simple_history.utils import bulk_create_with_history

from gear.acting import action
from sessions.setups.chains.actions import Seen, add_chain, change_chain, claim_revision
from sessions.setups.input_list.lines import Slot
from sessions.setups.models import Chain, Revision, Setup, Stage
from sessions.setups.placement.actions import place_microphone

KEPT = ("unit", "channel", "panel", "settings", "patch_in", "patch_out", "path", "note")


@action
def save_lines(setup: Setup, forms: Iterable, *, by) -> list[Chain]:
    """Save the lines that were typed, each as a chain; returns those that are new or changed.

    Nothing is saved where one of them can't be: raises EditedMeanwhile or ChainRecorded.
    """
    return [
        _save(setup, form, by=by)
        for form in forms
        if not form.is_blank and (form.chain is None or form.changed_columns)
    ]


def _save(setup: Setup, form, *, by) -> Chain:
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
        write_stages(revision, form.slots.all)
        seen = Seen.of(revision)
    if "stand" in changed:
        place_microphone(chain, seen=seen, by=by, stand=typed["stand"])
    return chain


def write_stages(revision: Revision, slots: list[Slot]) -> None:
    """Make these the stages of an open revision; a stage that was there keeps what no slot says."""
    standing = {stage.position: stage for stage in revision.stages.all()}
    kept = {slot.position for slot in slots}
    for position, stage in standing.items():
        if position not in kept:
            stage.delete()
    _make_room(revision, len(standing) + len(slots))
    new = []
    for position, slot in enumerate(slots, 1):
        stage = standing.get(slot.position) or Stage(revision=revision)
        for name in KEPT:
            setattr(stage, name, getattr(slot, name))
        stage.position = position
        if stage.pk:
            stage.save()
        else:
            new.append(stage)
    bulk_create_with_history(new, Stage)


def _make_room(revision: Revision, by: int) -> None:
    """No two stages may share a place, so all wait behind the last while they change places."""
    for stage in revision.stages.order_by("-position"):
        Stage.objects.filter(pk=stage.pk).update(position=stage.position + by)
