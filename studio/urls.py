from django.contrib.auth.views import LoginView, LogoutView
from django.urls import include, path

from studio import home, sign_ins, style, theme

urlpatterns = [
    path("", home.home, name="home"),
    path("sign-in/", LoginView.as_view(redirect_authenticated_user=True), name="login"),
    path("sign-out/", LogoutView.as_view(), name="logout"),
    path("password/", sign_ins.own_password, name="password"),
    path("sign-ins/", sign_ins.sign_in_list, name="sign_ins"),
    path("sign-ins/new/", sign_ins.sign_in_create, name="sign_in_create"),
    path("sign-ins/<int:pk>/", sign_ins.sign_in_edit, name="sign_in_edit"),
    path("sign-ins/<int:pk>/password/", sign_ins.sign_in_password, name="sign_in_password"),
    path("theme/", theme.choose_theme, name="theme"),
    path("style/", style.style, name="style"),
    path("clients/", include("sessions.clients.urls")),
    path("songs/", include("sessions.songs.urls")),
    path("sessions/", include("sessions.bookings.urls")),
    path("free-time/", include("sessions.bookings.free.urls")),
    path("series/", include("sessions.bookings.series.urls")),
    path("schedule/", include("sessions.bookings.schedule.urls")),
    path("feeds/", include("sessions.bookings.feeds.urls")),
    path("holds/", include("sessions.bookings.challenges.urls")),
    path("money/", include("sessions.bookings.money.urls")),
    path("house/", include("sessions.bookings.house.urls")),
    path("setups/", include("sessions.setups.urls")),
    path("set/", include("sessions.setups.editor.urls")),
    path("takes/", include("sessions.takes.urls")),
    path("deliverables/", include("sessions.deliverables.urls")),
    path("find/", include("sessions.recall.finding.urls")),
    path("recall/", include("sessions.recall.urls")),
    path("reports/", include("sessions.reports.urls")),
    path("papers/", include("sessions.bookings.papers.urls")),
    path("usage/", include("sessions.reports.usage.urls")),
    path("equipment/", include("gear.equipment.urls")),
    path("panels/", include("gear.panels.urls")),
    path("patch-bays/", include("gear.patchbay.urls")),
]
