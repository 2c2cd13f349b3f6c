from django.db.models import Model

from sessions.setups.models import Placement, Revision, Stage


def last_edit(revision: Revision) -> Model | None:
    """The entry of the history in which a stage or the placement was changed last: who, and when."""
    entries = [
        model.history.filter(revision=revision).select_related("history_user").first()
        for model in (Stage, Placement)
    ]
    return max(filter(None, entries), key=lambda entry: entry.history_date, default=None)
