from gear.acting import action, set_facts
from gear.editing.versions import claim_version
from sessions.setups.chains.actions import Seen, claim_newest
from sessions.setups.models import Chain, Source


@action
def change_source(source: Source, *, version: int, by, **facts) -> Source:
    """Change what is said of a source, or how its amplifier is set.

    A fixed revision of its chains keeps what it was, so each of these chains goes on with the next
    one; also in takes that roll. Raises EditedMeanwhile.
    """
    chains = Chain.objects.select_for_update(of=("self",)).filter(source=source).order_by("pk")
    claimed = list(chains)
    claim_version(source, version)
    if all(getattr(source, name) == value for name, value in facts.items()):
        return source
    for chain in claimed:
        newest = chain.revisions.newest().get()
        if newest.is_fixed:
            claim_newest(newest, seen=Seen.of(newest), by=by)
    settings = facts.pop("settings", source.settings)
    set_facts(source, **facts)
    source.set_controls(settings)
    source.save()
    return source
