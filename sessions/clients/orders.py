"""What a client orders to be delivered for every song of a project."""

from django.db import models


class DeliverableKind(models.TextChoices):
    ROUGH_MIX = "rough_mix", "Rough mix"
    MULTITRACK = "multitrack", "Consolidated multitrack"
    STEMS = "stems", "Stems"
    SESSION_ARCHIVE = "session_archive", "Workstation session archive"
    INSTRUMENTAL = "instrumental", "Instrumental"
    A_CAPPELLA = "a_cappella", "A cappella"
    DOCUMENTATION = "documentation", "Documentation"


def rules_for(kinds: list[str]) -> dict:
    """As `Project.delivery_rules` keeps them."""
    return {"for_each_song": kinds}


def ordered_kinds(rules: dict) -> list[DeliverableKind]:
    """What is to be delivered for each song, in the order of the choices; a rough mix where nothing
    was agreed."""
    wanted = rules.get("for_each_song")
    if wanted is None:
        return [DeliverableKind.ROUGH_MIX]
    return [kind for kind in DeliverableKind if kind in wanted]
