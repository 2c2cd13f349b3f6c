from functools import cache

from django.contrib.auth import get_user_model
from django.contrib.auth.backends import ModelBackend

from studio.roles import GRANTS


class RoleBackend(ModelBackend):
    """Answers `has_perm` from the grants of the user's role, so that no code below knows a role."""

    def has_perm(self, user_obj, perm, obj=None):
        return user_obj.is_active and user_obj.role in GRANTS.get(perm, ())

    def get_user(self, user_id):
        """As Django's, by SQL that is written once (`studio/web_sessions.py` says why)."""
        user = next(iter(get_user_model().objects.raw(_by_key(), [user_id])), None)
        return user if user and self.user_can_authenticate(user) else None


@cache
def _by_key() -> str:
    return f"SELECT * FROM {get_user_model()._meta.db_table} WHERE id = %s"  # noqa: S608 (our own)
