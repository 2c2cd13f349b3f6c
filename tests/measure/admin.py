"""Django's admin over the sessions, as the measure of the schedule; in the measures' addresses."""

from django.contrib.admin import AdminSite, ModelAdmin
from django.urls import path

from sessions.bookings.models import RecordingSession
from studio.urls import handler500  # noqa: F401, as the studio has it
from studio.urls import urlpatterns as studio_urlpatterns


class SessionAdmin(ModelAdmin):
    """What the schedule shows of a session too. A page has 100 of them, as is usual."""

    list_display = ("title", "project", "starts_at", "ends_at", "status")
    list_select_related = ("project__client",)

    def has_view_permission(self, request, obj=None) -> bool:
        return True

    def has_module_permission(self, request) -> bool:
        return True


class OpenSite(AdminSite):
    def has_permission(self, request) -> bool:
        return True


site = OpenSite()
site.register(RecordingSession, SessionAdmin)
urlpatterns = [*studio_urlpatterns, path("admin/", site.urls)]
