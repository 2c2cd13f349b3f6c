from gear.acting import action, set_facts
from sessions.setups.chains.actions.revisions import Seen, claim_revision
from sessions.setups.models import Chain, Placement


@action
def place_microphone(chain: Chain, *, seen: Seen, by, **facts) -> Placement:
    """Write down where the microphone stands."""
    revision = claim_revision(chain, seen=seen, by=by)
    placement = Placement.objects.filter(revision=revision).first() or Placement(revision=revision)
    set_facts(placement, **facts)
    placement.save()
    return placement
