from django.urls import path

from sessions.setups.views import (
    chains,
    comparison,
    copies,
    delay,
    faults,
    levels,
    pages,
    patching,
    placement,
    setups,
    stages,
)

app_name = "setups"
urlpatterns = [
    path("session/<int:pk>/", pages.session, name="session"),
    path("session/<int:pk>/new/", setups.setup_create, name="setup_create"),
    path("session/<int:pk>/copy/", copies.setup_copy, name="setup_copy"),
    path("session/<int:pk>/fault/", faults.fault, name="fault"),
    path("<int:pk>/edit/", setups.setup_edit, name="setup_edit"),
    path("<int:pk>/strike/", patching.strike, name="strike"),
    path("<int:pk>/put-up/", patching.put_up, name="put_up"),
    path("patch-bays/<int:pk>/", patching.patched_now, name="patched_now"),
    path("<int:pk>/delay/", delay.delay, name="delay"),
    path("<int:pk>/chains/new/", chains.chain_create, name="chain_create"),
    path("chains/<int:pk>/", pages.chain, name="chain"),
    path("chains/<int:pk>/edit/", chains.chain_edit, name="chain_edit"),
    path("chains/<int:pk>/copy/", chains.chain_copy, name="chain_copy"),
    path("chains/<int:pk>/placement/", placement.placement, name="placement"),
    path("chains/<int:pk>/levels/", levels.levels, name="levels"),
    path("chains/<int:pk>/compare/", comparison.compare_revisions, name="compare"),
    path("revisions/<int:pk>/", pages.revision, name="revision"),
    path("stages/<int:pk>/", stages.stage_edit, name="stage_edit"),
    path("stages/<int:pk>/copy/", copies.stage_copy, name="stage_copy"),
    path("stages/<int:pk>/move/", stages.stage_move, name="stage_move"),
    path("stages/<int:pk>/take-out/", stages.stage_delete, name="stage_delete"),
    path("placements/<int:pk>/photo/", placement.photo, name="photo"),
    path("units/<int:pk>/", pages.for_unit, name="for_unit"),
]
