"""Agree rates and terms with a client or for a project, or lay down the house's own."""

from gear.acting import action, set_facts
from gear.editing.versions import claim_version
from sessions.terms.agreements.models import Agreement


@action
def agree(agreement: Agreement, *, version: int, by, **facts) -> Agreement:
    """Save what was agreed; the row is made with it, where there was none. Raises EditedMeanwhile
    when somebody saved it after `version`."""
    whose = {"client": agreement.client, "project": agreement.project}
    agreement, _ = Agreement.objects.get_or_create(**whose)
    claim_version(agreement, version)
    set_facts(agreement, **facts)
    agreement.save()
    return agreement
