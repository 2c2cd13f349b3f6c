from gear.acting import action, set_facts
from sessions.setups.chains.actions.revisions import Seen, claim_revision
from sessions.setups.models import Chain, Revision

#: Of a stage: what was read there.
READINGS = {"tone_reading_dbu", "reading_out_dbu"}


@action
def log_levels(chain: Chain, *, seen: Seen, by, facts: dict, stages: dict[int, dict]) -> Revision:
    """Write down the source's level and the test tone (`facts` of the revision), and what was read
    or planned at each stage, by its position. That the readings were taken now is noted beside."""
    revision = claim_revision(chain, seen=seen, by=by)
    changed = []
    for stage in revision.stages.all():
        read = stages.get(stage.position, {})
        if any(getattr(stage, name) != value for name, value in read.items()):
            set_facts(stage, **read)
            stage.save(update_fields=list(read))
            changed.append(read.keys() & READINGS)
    set_facts(revision, **facts)
    if any(changed):
        revision.readings_from = revision.number
    revision.save(update_fields=[*facts, "readings_from"])
    return revision
