"""What was measured at a chain: where the microphone stood, levels and the test tone."""

from django.db import transaction

from sessions.setups.actions.revisions import Seen, claim_revision
from sessions.setups.actions.rows import set_facts
from sessions.setups.models import Chain, Placement, Revision

#: Of a stage: what was read there.
READINGS = {"tone_reading_dbu", "reading_out_dbu"}


@transaction.atomic
def place_microphone(chain: Chain, *, seen: Seen, by, **facts) -> Placement:
    """Write down where the microphone stands. Without `photo` among the facts the photo stays."""
    revision = claim_revision(chain, seen=seen, by=by)
    placement = Placement.objects.filter(revision=revision).first() or Placement(revision=revision)
    set_facts(placement, facts)
    placement.save()
    return placement


@transaction.atomic
def log_levels(chain: Chain, *, seen: Seen, by, facts: dict, stages: dict[int, dict]) -> Revision:
    """Write down the source's level and the test tone (`facts` of the revision), and what was read
    or planned at each stage, by its position. That the readings were taken now is noted beside."""
    revision = claim_revision(chain, seen=seen, by=by)
    changed = []
    for stage in revision.stages.all():
        read = stages.get(stage.position, {})
        if any(getattr(stage, name) != value for name, value in read.items()):
            set_facts(stage, read)
            stage.save(update_fields=list(read))
            changed.append(read.keys() & READINGS)
    set_facts(revision, facts)
    if any(changed):
        revision.readings_from = revision.number
    revision.save(update_fields=[*facts, "readings_from"])
    return revision
