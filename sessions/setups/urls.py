from django.urls import path

from sessions.papers.stored.serving import paper_page
from sessions.setups.chains.views import chains, reserving, setups, stages
from sessions.setups.comparing import views as comparing
from sessions.setups.copying import views as copying
from sessions.setups.faults import views as faults
from sessions.setups.grouping import views as grouping
from sessions.setups.headphones import views as headphones
from sessions.setups.input_list import views as input_list
from sessions.setups.input_list.stored import INPUT_LIST
from sessions.setups.levels import views as levels
from sessions.setups.overview import views as overview
from sessions.setups.patching import views as patching
from sessions.setups.photos import views as photos
from sessions.setups.pins import views as pins
from sessions.setups.placement import views as placement
from sessions.setups.sources import views as sources
from sessions.setups.swapping import views as swapping

app_name = "setups"
urlpatterns = [
    path("sessions/<int:pk>/setups/", overview.session, name="session"),
    path("sessions/<int:pk>/setups/new/", setups.setup_create, name="setup_create"),
    path("sessions/<int:pk>/setups/copy/", copying.setup_copy, name="setup_copy"),
    path("sessions/<int:pk>/faults/new/", faults.fault, name="fault"),
    path("sessions/<int:pk>/units/reserve/", reserving.reserve, name="reserve"),
    path("setups/<int:pk>/edit/", setups.setup_edit, name="setup_edit"),
    path("setups/<int:pk>/input-list/", input_list.input_list, name="input_list"),
    path("setups/<int:pk>/input-list.csv", input_list.input_list_csv, name="input_list_csv"),
    path("setups/<int:pk>/input-list.pdf", paper_page, {"kind": INPUT_LIST}, name="input_list_pdf"),
    path("setups/<int:pk>/strike/", patching.strike, name="strike"),
    path("setups/<int:pk>/undo-strike/", patching.undo_strike, name="undo_strike"),
    path("patch-bays/<int:pk>/patched/", patching.patched_now, name="patched_now"),
    path("setups/<int:pk>/levels/", overview.level_plan, name="level_plan"),
    path("setups/<int:pk>/delay/", headphones.delay, name="delay"),
    path("setups/<int:pk>/delay/use/", headphones.use_buffer, name="use_buffer"),
    path("setups/<int:pk>/chains/new/", chains.chain_create, name="chain_create"),
    path("chains/<int:pk>/", overview.chain, name="chain"),
    path("chains/<int:pk>/edit/", chains.chain_edit, name="chain_edit"),
    path("chains/<int:pk>/copy/", copying.chain_copy, name="chain_copy"),
    path("chains/<int:pk>/placement/", placement.placement, name="placement"),
    path("chains/<int:pk>/levels/", levels.levels, name="levels"),
    path("chains/<int:pk>/pins/", pins.pin, name="pin"),
    path("chains/<int:pk>/pinned/", pins.set_value, name="set_pinned"),
    path("chains/<int:pk>/revisions/compare/", comparing.compare_revisions, name="compare"),
    path("revisions/<int:pk>/", overview.revision, name="revision"),
    path("stages/<int:pk>/edit/", stages.stage_edit, name="stage_edit"),
    path("stages/<int:pk>/copy/", copying.stage_copy, name="stage_copy"),
    path("stages/<int:pk>/swap/", swapping.swap, name="stage_swap"),
    path("chains/<int:pk>/set-up/", swapping.set_up, name="chain_set_up"),
    path("stages/<int:pk>/move/", stages.stage_move, name="stage_move"),
    path("stages/<int:pk>/remove/", stages.stage_delete, name="stage_delete"),
    path("setups/<int:pk>/groups/new/", grouping.group_create, name="group_create"),
    path("groups/<int:pk>/edit/", grouping.group_edit, name="group_edit"),
    path("headphone-mixes/<int:pk>/copy/", copying.mix_copy, name="mix_copy"),
    path("setups/<int:pk>/photos/", photos.photos, name="photos"),
    path("setups/<int:pk>/photos/new/", photos.photo_take, name="photo_take"),
    path("sources/<int:pk>/", sources.source, name="source"),
    path("photos/<int:pk>/", photos.photo, name="photo"),
    path("photos/<int:pk>/edit/", photos.photo_edit, name="photo_edit"),
    path("photos/<int:pk>/picture.jpg", photos.photo_file, name="photo_file"),
    path("photos/<int:pk>/remove/", photos.photo_remove, name="photo_remove"),
    path("units/<int:pk>/chains/", overview.for_unit, name="for_unit"),
]
