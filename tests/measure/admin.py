"""Django's admin over sessions, takes, songs and clients, as the measure of lists; in the measures'
addresses."""

from django.contrib.admin import AdminSite, ModelAdmin
from django.urls import path

from sessions.bookings.models import RecordingSession
from sessions.clients.models import Client
from sessions.songs.models import Song
from sessions.takes.models import Take
from studio.urls import handler500  # noqa: F401, as the studio has it
from studio.urls import urlpatterns as studio_urlpatterns


class Open(ModelAdmin):
    """A page has 100 rows, as is usual."""

    def has_view_permission(self, request, obj=None) -> bool:
        return True

    def has_module_permission(self, request) -> bool:
        return True


class SessionAdmin(Open):
    """What the schedule shows of a session too."""

    list_display = ("title", "project", "starts_at", "ends_at", "status")
    list_select_related = ("project__client",)


class TakeAdmin(Open):
    list_display = ("number", "song", "session", "kind", "logged_at")
    list_select_related = ("song", "session")


class SongAdmin(Open):
    list_display = ("title", "project", "key")
    list_select_related = ("project__client",)


class OpenSite(AdminSite):
    def has_permission(self, request) -> bool:
        return True


site = OpenSite()
site.register(RecordingSession, SessionAdmin)
site.register(Take, TakeAdmin)
site.register(Song, SongAdmin)
site.register(Client, Open)
urlpatterns = [*studio_urlpatterns, path("admin/", site.urls)]
