from django.conf import settings
from django.contrib.auth import get_user_model
from django.contrib.auth.backends import ModelBackend
from django.db.models import Subquery, Value
from django.db.models.functions import Coalesce

from sessions.rooms.models import HouseRules, Studio
from studio.roles import GRANTS

SIGN_IN_RULES = ("second_factor_for_managers", "idle_hours", "signed_in_days")


def _house_rule(name: str) -> Coalesce:
    """As saved, or its default where nobody has saved any."""
    saved = Subquery(HouseRules.objects.values(name)[:1])
    return Coalesce(saved, Value(HouseRules._meta.get_field(name).default))


class RoleBackend(ModelBackend):
    """Answers `has_perm` from the grants of the user's role, so that no code below knows a role."""

    def has_perm(self, user_obj, perm, obj=None):
        return user_obj.is_active and user_obj.role in GRANTS.get(perm, ())

    def get_user(self, user_id):
        """Brings along the name of the studio, which the head of every page shows, and the house's
        rules of signing in (`signing_in/limits.py`)."""
        saved = Subquery(Studio.objects.values("name")[:1])
        name = Coalesce(saved, Value(settings.STUDIO_NAME))
        rules = {rule: _house_rule(rule) for rule in SIGN_IN_RULES}
        users = get_user_model().objects.annotate(studio_name=name, **rules)
        user = users.filter(pk=user_id).first()
        return user if user and self.user_can_authenticate(user) else None
