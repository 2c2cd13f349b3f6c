from django.conf import settings
from django.contrib.auth import get_user_model
from django.contrib.auth.backends import ModelBackend
from django.db.models import Subquery, Value
from django.db.models.functions import Coalesce

from sessions.rooms.models import Studio
from studio.roles import GRANTS


class RoleBackend(ModelBackend):
    """Answers `has_perm` from the grants of the user's role, so that no code below knows a role."""

    def has_perm(self, user_obj, perm, obj=None):
        return user_obj.is_active and user_obj.role in GRANTS.get(perm, ())

    def get_user(self, user_id):
        """Brings along the name of the studio, which the head of every page shows."""
        saved = Subquery(Studio.objects.values("name")[:1])
        name = Coalesce(saved, Value(settings.STUDIO_NAME))
        users = get_user_model().objects.annotate(studio_name=name)
        user = users.filter(pk=user_id).first()
        return user if user and self.user_can_authenticate(user) else None
