from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LogoutView
from django.urls import include, path

from sessions.desk.today.views import today
from studio import keys, sign_ins, style, theme
from studio.backups import views as backups
from studio.first_steps import views as first_steps
from studio.joining import views as joining
from studio.signing_in import device_views, factor_views
from studio.signing_in import views as signing_in
from studio.tracking_worker import tracking_worker
from studio.watching import views as watching

# Each names its addresses whole: what one is about may begin another (songs/3/deliverables/).
PARTS = [
    "sessions.clients",
    "sessions.letters",
    "sessions.songs",
    "sessions.desk.session_pages",
    "sessions.desk.series_pages",
    "sessions.rooms",
    "sessions.terms",
    "sessions.bookings.free",
    "sessions.bookings.challenges",
    "sessions.bookings.blocks",
    "sessions.bookings.gear_sets",
    "sessions.bookings.musicians",
    "sessions.desk.schedule",
    "sessions.desk.stand_ins",
    "sessions.desk.search",
    "sessions.desk.merging",
    "sessions.desk.calendar_import",
    "sessions.calendar.feeds",
    "sessions.money",
    "sessions.money.invoices",
    "sessions.money.overtime",
    "sessions.money.payments",
    "sessions.money.sign_off",
    "sessions.setups",
    "sessions.setups.editor",
    "sessions.setups.headphones",
    "sessions.takes",
    "sessions.takes.comp",
    "sessions.takes.sheets",
    "sessions.takes.files",
    "sessions.deliverables",
    "sessions.deliverables.mixes",
    "sessions.deliverables.listening",
    "sessions.deliverables.checking",
    "sessions.deliverables.nulling",
    "sessions.deliverables.media",
    "sessions.deliverables.uploads",
    "sessions.recall.finding",
    "sessions.recall.sheet",
    "sessions.recall.rebuilds",
    "sessions.recall.proving",
    "sessions.recall.then_and_now",
    "sessions.recall.imported",
    "sessions.reports",
    "sessions.reports.usage",
    "sessions.reports.label_copy",
    "sessions.deliveries",
    "gear.equipment",
    "gear.panels",
    "gear.patchbay",
    "studio.changes",
]

handler500 = "studio.gone.error_page"

urlpatterns = [
    path("", today, name="home"),
    path("sign-in/", signing_in.SignInView.as_view(), name="login"),
    path("sign-in/code/", signing_in.sign_in_code, name="sign_in_code"),
    path("sign-out/", login_not_required(LogoutView.as_view()), name="logout"),
    path("devices/", device_views.signed_in, name="signed_in"),
    path("devices/sign-out/", device_views.signed_in_end, name="signed_in_end"),
    path("not-sent/", device_views.not_sent, name="not_sent"),
    path("second-factor/", factor_views.second_factor, name="second_factor"),
    path("password/", sign_ins.own_password, name="password"),
    path("sign-ins/", sign_ins.sign_in_list, name="sign_ins"),
    path("sign-ins/invite/", sign_ins.sign_in_invite, name="sign_in_invite"),
    path("sign-ins/<int:pk>/", sign_ins.sign_in_edit, name="sign_in_edit"),
    path("sign-ins/<int:pk>/password/", sign_ins.sign_in_password, name="sign_in_password"),
    path("sign-ins/<int:pk>/link/", sign_ins.sign_in_link, name="sign_in_link"),
    path("sign-ins/<int:pk>/revoke/", sign_ins.sign_in_revoke, name="sign_in_revoke"),
    path("sign-ins/<int:pk>/sign-out/", device_views.sign_in_end, name="sign_in_end"),
    path(
        "sign-ins/<int:pk>/second-factor/remove/",
        factor_views.sign_in_factor_remove,
        name="sign_in_factor_remove",
    ),
    path("password/forgotten/", joining.forgotten, name="password_forgotten"),
    path("password/asked/", joining.asked, name="password_asked"),
    path("choose-password/<str:token>/", joining.choose, name="choose_password"),
    path("backups/", backups.backups, name="backups"),
    path("backups/now/", backups.back_up_now, name="back_up_now"),
    path("first-steps/", first_steps.first_steps, name="first_steps"),
    path("first-steps/put-away/", first_steps.put_away, name="first_steps_put_away"),
    path("theme/", theme.choose_theme, name="theme"),
    path("keys/", keys.choose_keys, name="keys"),
    path("health/", watching.health, name="health"),
    path("ready/", watching.ready, name="ready"),
    path("metrics", watching.metrics, name="metrics"),
    path("tracking-worker.js", tracking_worker, name="tracking_worker"),
    *[path("", include(f"{part}.urls")) for part in PARTS],
]
if settings.STYLE_PAGE:
    urlpatterns.append(path("style/", style.style, name="style"))
