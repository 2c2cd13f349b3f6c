"""Who sees which rows of the projects' work."""

from django.db import models

from sessions.clients.models import Project


class OfAProject(models.QuerySet):
    """Rows that lead to the project whose work they are."""

    to_project: str

    def visible_to(self, user):
        """Those of the projects that the user sees. Whoever sees all projects is asked for no list of
        them, which a database goes through row by row."""
        if user.has_perm("studio_sessions.view_all_projects"):
            return self
        return self.filter(**{f"{self.to_project}__in": Project.objects.visible_to(user)})
