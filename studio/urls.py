from django.conf import settings
from django.contrib.auth.views import LoginView, LogoutView
from django.urls import include, path

from sessions.desk import today
from studio import sign_ins, style, theme

urlpatterns = [
    path("", today.today, name="home"),
    path("sign-in/", LoginView.as_view(redirect_authenticated_user=True), name="login"),
    path("sign-out/", LogoutView.as_view(), name="logout"),
    path("password/", sign_ins.own_password, name="password"),
    path("sign-ins/", sign_ins.sign_in_list, name="sign_ins"),
    path("sign-ins/new/", sign_ins.sign_in_create, name="sign_in_create"),
    path("sign-ins/<int:pk>/", sign_ins.sign_in_edit, name="sign_in_edit"),
    path("sign-ins/<int:pk>/password/", sign_ins.sign_in_password, name="sign_in_password"),
    path("theme/", theme.choose_theme, name="theme"),
    path("clients/", include("sessions.clients.urls")),
    path("songs/", include("sessions.songs.urls")),
    path("sessions/", include("sessions.desk.session_pages.urls")),
    path("rooms/", include("sessions.rooms.urls")),
    path("terms/", include("sessions.terms.urls")),
    path("free-time/", include("sessions.bookings.free.urls")),
    path("series/", include("sessions.bookings.series.urls")),
    path("holds/", include("sessions.bookings.challenges.urls")),
    path("blocks/", include("sessions.bookings.blocks.urls")),
    path("schedule/", include("sessions.desk.schedule.urls")),
    path("feeds/", include("sessions.calendar.feeds.urls")),
    path("money/", include("sessions.money.urls")),
    path("setups/", include("sessions.setups.urls")),
    path("set/", include("sessions.setups.editor.urls")),
    path("headphones/", include("sessions.setups.headphones.urls")),
    path("takes/", include("sessions.takes.urls")),
    path("deliverables/", include("sessions.deliverables.urls")),
    path("find/", include("sessions.recall.finding.urls")),
    path("recall/", include("sessions.recall.sheet.urls")),
    path("rebuilds/", include("sessions.recall.rebuilds.urls")),
    path("imported/", include("sessions.recall.imported.urls")),
    path("reports/", include("sessions.reports.urls")),
    path("usage/", include("sessions.reports.usage.urls")),
    path("equipment/", include("gear.equipment.urls")),
    path("panels/", include("gear.panels.urls")),
    path("patch-bays/", include("gear.patchbay.urls")),
]
if settings.STYLE_PAGE:
    urlpatterns.append(path("style/", style.style, name="style"))
