from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse

from gear.asked import in_pages
from gear.equipment.models import Unit
from gear.equipment.times_away import times_away
from gear.list_pages import csv_asked
from gear.patchbay.wiring import load_wiring
from sessions.bookings.models import RecordingSession, Reservation
from sessions.setups.chains.actions import Seen
from sessions.setups.models import Chain, Revision, Setup, Stage
from sessions.setups.overview.level_plan import setup_levels
from sessions.setups.overview.setups import setups_of
from sessions.setups.overview.tables import ReservedForTable, UsedInTable
from sessions.setups.patching.patch_list import (
    Patching,
    newest_of_sessions,
    patching_then,
    session_patching,
)
from sessions.setups.patching.plugs import cord_numbers
from sessions.setups.photos.subjects import chain_subjects
from sessions.setups.signal_path.chain import chain_path
from sessions.setups.warnings import chain_warnings, setup_warnings
from sessions.setups.warnings.cautions import beside_warnings
from sessions.setups.warnings.reserved import units_not_ready


def session(request: HttpRequest, pk: int) -> HttpResponse:
    """The setups of the day, each with its chains from source to track."""
    sessions = RecordingSession.objects.visible_to(request.user).select_related("project")
    session = get_object_or_404(sessions, pk=pk)
    context = {"session": session, "setups": setups_of(session)}
    return TemplateResponse(request, "sessions/setups/overview/session.html", context)


def level_plan(request: HttpRequest, pk: int) -> HttpResponse:
    """The levels of all chains of a setup, by pair and group."""
    setup = get_object_or_404(Setup.objects.visible_to(request.user).with_chains(), pk=pk)
    context = {"setup": setup, "sections": setup_levels(setup)}
    return TemplateResponse(request, "sessions/setups/overview/level_plan.html", context)


def chain(request: HttpRequest, pk: int) -> HttpResponse:
    """The chain as it stands now."""
    chains = Chain.objects.visible_to(request.user).select_related("setup")
    chain = get_object_or_404(chains, pk=pk)
    revisions = list(newest_of_sessions([chain.setup.session_id]))
    revision = next(found for found in revisions if found.chain_id == chain.pk)
    setup = revision.chain.setup
    patching = session_patching(revisions, load_wiring())[setup.pk]
    return _revision_page(
        request,
        revision,
        patching.of_chain(chain),
        beside=[found for found in revisions if found.chain.is_up],
        setup_warnings=setup_warnings(
            setup, revisions, patching, unready=units_not_ready(setup.session, revisions)
        ),
    )


def revision(request: HttpRequest, pk: int) -> HttpResponse:
    """The chain as it stood."""
    revisions = Revision.objects.visible_to(request.user).with_stages()
    revision = get_object_or_404(revisions, pk=pk)
    return _revision_page(request, revision, patching_then([revision], load_wiring()))


def _revision_page(
    request, revision: Revision, patching: Patching, *, beside=(), setup_warnings=()
) -> HttpResponse:
    others = list(revision.chain.revisions.order_by("-number"))
    is_newest, patch_list = others[0] == revision, patching.patch_list
    warnings = chain_warnings(revision, beside=beside)
    context = {
        "revision": revision,
        "chain": revision.chain,
        "is_newest": is_newest,
        "is_recorded": any(other.is_fixed for other in others),
        "others": others,
        "takes": revision.takes.select_related("song") if revision.is_fixed else [],
        "path": chain_path(revision, patch_list, cord_numbers([patch_list])),
        "cautions": beside_warnings(revision, beside) if is_newest else [],
        "patch_list": patch_list,
        "broken_by_others": [
            broken
            for broken in patch_list.normals_broken
            if not any(revision.chain in cord.chains for cord in broken.by)
        ],
        "warnings": warnings,
        "setup_warnings": setup_warnings,
        "is_safety": any(warning.is_safety for warning in (*warnings, *setup_warnings)),
        "seen": Seen.of(revision),
        "subjects": list(chain_subjects(revision).items()),
    }
    return TemplateResponse(request, "sessions/setups/overview/revision.html", context)


def for_unit(request: HttpRequest, pk: int) -> HttpResponse:
    """All that became of a unit: sessions, chains, faults, times out of service, edits."""
    unit = get_object_or_404(Unit.objects.select_related("model"), pk=pk)
    table = UsedInTable(
        Stage.objects.visible_to(request.user)
        .filter(unit=unit)
        .select_related("revision__chain__setup__session", "revision__chain__source")
        .order_by("-revision__chain__setup__session__starts_at", "-revision__number")
    )
    reserved = ReservedForTable(
        Reservation.objects.visible_to(request.user)
        .filter(unit=unit)
        .select_related("session")
        .order_by("-starts_at", "-pk"),
        prefix="reserved-",
    )
    if file := csv_asked(request, table, reserved):
        return file
    for each in (table, reserved):
        in_pages(request, each)
    context = {
        "unit": unit,
        "table": table,
        "reserved": reserved,
        "faults": unit.faults.select_related("reported_by"),
        "away": times_away(unit),
    }
    return TemplateResponse(request, "sessions/setups/overview/for_unit.html", context)
