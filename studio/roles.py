"""The roles of a studio, and the grants on rows that a role carries.

Which page a role may open stands in `access.py`; this file is apart because the user model and the
authentication backend both import it (a backend cannot be imported while models load).
"""

from django.db import models


class Role(models.TextChoices):
    MANAGER = "manager", "Studio manager"
    ENGINEER = "engineer", "Recording engineer"
    ASSISTANT = "assistant", "Assistant engineer"
    MIX_ENGINEER = "mix_engineer", "Mix engineer"


HOUSE = frozenset({Role.MANAGER, Role.ENGINEER, Role.ASSISTANT})

# Permission -> roles that hold it. A mix engineer sees only the projects that name them; everybody
# may make a calendar feed of the person that they are.
GRANTS = {
    "studio_sessions.view_all_projects": HOUSE,
    "studio_sessions.see_contacts": HOUSE,
    "studio_sessions.make_any_feed": frozenset({Role.MANAGER}),
    "studio_sessions.see_money": frozenset({Role.MANAGER}),
    # Whoever else sends what was recorded, sends it to the project's approved recipients only.
    "studio_sessions.send_to_anybody": frozenset({Role.MANAGER}),
    # Holding, confirming and cancelling; starting and wrapping is the control room's.
    "studio_sessions.settle_bookings": frozenset({Role.MANAGER}),
}
