from django.contrib.auth.backends import ModelBackend

from studio.roles import GRANTS


class RoleBackend(ModelBackend):
    """Answers `has_perm` from the grants of the user's role, so that no code below knows a role."""

    def has_perm(self, user_obj, perm, obj=None):
        return user_obj.is_active and user_obj.role in GRANTS.get(perm, ())
