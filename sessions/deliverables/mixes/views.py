from functools import partial

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_POST, require_safe

from gear.comma_separated import csv_answer
from gear.editing.form_pages import Crumbs, edit_page, form_page, trail
from gear.editing.versions import EditedMeanwhile, differences, version_in
from gear.equipment.phantom import phantom_ruling
from sessions.deliverables.mixes.actions import (
    create_mix,
    point_to,
    rename_mix,
    save_mix,
    set_insert,
    touch_inserts,
)
from sessions.deliverables.mixes.data import mix_json, mix_rows
from sessions.deliverables.mixes.forms import (
    InsertForm,
    MadeThroughForm,
    MixCreateForm,
    MixForm,
)
from sessions.deliverables.mixes.lines import COLUMNS
from sessions.deliverables.mixes.models import MixInsert, MixRevision, MixSetup, StripKind
from sessions.deliverables.mixes.sheet import mix_sheet
from sessions.deliverables.models import Deliverable
from sessions.rooms.models import Studio
from sessions.setups.chains.asking import why_not_on
from sessions.setups.chains.forms import values_of
from sessions.setups.models import Chain
from sessions.songs.models import Part, Song


def _song_of(request, pk: int) -> Song:
    songs = Song.objects.visible_to(request.user).select_related("project")
    return get_object_or_404(songs, pk=pk)


def _setup_of(request, pk: int) -> MixSetup:
    setups = MixSetup.objects.visible_to(request.user).for_list()
    return get_object_or_404(setups, pk=pk)


def _crumbs(setup: MixSetup, *more) -> Crumbs:
    """Under the first of its songs."""
    song = setup.songs.all()[0]
    return [
        *trail(("Songs", "songs:list"), song),
        ("Mix setups", reverse("mixes:list", args=[song.pk])),
        *trail(*more),
    ]


def mix_list(request: HttpRequest, pk: int) -> HttpResponse:
    """The mix setups of a song, and what was printed through them."""
    song = _song_of(request, pk)
    context = {
        "song": song,
        "setups": MixSetup.objects.filter(songs=song).for_list(),
        "crumbs": [*trail(("Songs", "songs:list"), song), ("Mix setups", "")],
    }
    return TemplateResponse(request, "sessions/deliverables/mixes/list.html", context)


def create(request: HttpRequest, pk: int) -> HttpResponse:
    """A new mix setup, empty or as a revision stood, of this song or another."""
    song = _song_of(request, pk)
    revisions = MixRevision.objects.visible_to(request.user).select_related("setup__project")
    form = MixCreateForm(
        request.POST or None,
        initial={"songs": [song], "like": request.GET.get("like")},
        project=song.project,
        revisions=revisions.order_by("-created_at", "-pk"),
    )
    if form.is_bound and form.is_valid():
        made = create_mix(song.project, by=request.user, **form.cleaned_data)
        messages.success(request, f"{made} saved.")
        return redirect("mixes:edit", made.pk)
    listed = reverse("mixes:list", args=[song.pk])
    crumbs = [*trail(("Songs", "songs:list"), song), ("Mix setups", listed)]
    return form_page(request, form, title="New mix setup", crumbs=crumbs)


def rename(request: HttpRequest, pk: int) -> HttpResponse:
    """Its name, and the songs that are mixed through it."""
    setup = _setup_of(request, pk)
    form = MixCreateForm(request.POST or None, instance=setup, project=setup.project)
    return edit_page(
        request,
        form,
        crumbs=_crumbs(setup, setup),
        title="Name and songs",
        save=lambda version: rename_mix(
            setup, version=version, by=request.user, **form.cleaned_data
        ),
        compare=lambda saved: differences(
            form, MixCreateForm(instance=saved, project=saved.project)
        ),
    )


def setup(request: HttpRequest, pk: int) -> HttpResponse:
    """The mix as it stands now."""
    return _revision_page(request, _setup_of(request, pk).newest_revision())


def revision(request: HttpRequest, pk: int) -> HttpResponse:
    return _revision_page(request, _revision_of(request, pk))


def _revision_of(request, pk: int) -> MixRevision:
    revisions = MixRevision.objects.visible_to(request.user).with_strips()
    return get_object_or_404(revisions, pk=pk)


def _revision_page(request, revision: MixRevision) -> HttpResponse:
    setup = revision.setup
    others = list(setup.revisions.order_by("-number"))
    context = {
        "sheet": mix_sheet(revision),
        "revision": revision,
        "setup": setup,
        "others": others,
        "is_newest": others[0] == revision,
        "printed": revision.deliverables.select_related("song"),
        "crumbs": [*_crumbs(setup), (str(setup), "")],
        "song": setup.songs.all()[0],
    }
    return TemplateResponse(request, "sessions/deliverables/mixes/revision.html", context)


@require_safe
def revision_json(request: HttpRequest, pk: int) -> HttpResponse:
    revision = _revision_of(request, pk)
    address = request.build_absolute_uri(revision.get_absolute_url())
    return HttpResponse(
        mix_json(mix_sheet(revision), studio=Studio.current().name, address=address),
        content_type="application/json",
        headers={"Content-Disposition": f'attachment; filename="{_file_name(revision)}.json"'},
    )


@require_safe
def revision_csv(request: HttpRequest, pk: int) -> HttpResponse:
    revision = _revision_of(request, pk)
    rows = mix_rows(mix_sheet(revision))
    return csv_answer(f"{_file_name(revision)}.csv", COLUMNS.values(), rows)


def _file_name(revision: MixRevision) -> str:
    return f"{slugify(revision.setup.name) or 'mix'}-revision-{revision.number}"


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """What is said of the whole mix, and a table with a line for each strip."""
    setup = _setup_of(request, pk)
    newest = setup.newest_revision()
    form = MixForm(newest, request.POST or None)
    parts = Part.objects.filter(song__in=setup.songs.all()).values_list("name", flat=True)
    tracks = Chain.objects.filter(parts__song__in=setup.songs.all()).values_list("track", flat=True)
    strips = newest.strips.all()
    return edit_page(
        request,
        form,
        thing=setup,
        title=f"Edit {setup}",
        crumbs=_crumbs(setup, setup),
        template="sessions/deliverables/mixes/edit.html",
        save=lambda version: save_mix(
            setup,
            version=version,
            by=request.user,
            facts=form.facts.cleaned_data,
            lines=form.lines,
        ),
        compare=lambda saved: form.differences(MixForm(saved.newest_revision())),
        heads=[*COLUMNS.values(), "Remove"],
        revision=newest,
        tracks=sorted({*parts, *tracks}),
        buses=[each.name for each in strips if each.kind == StripKind.BUS],
    )


@require_POST
def confirm(request: HttpRequest, pk: int) -> HttpResponse:
    """Everything that was copied is set so."""
    setup = _setup_of(request, pk)
    try:
        version = version_in(request.POST.get("seen", ""))
        touch_inserts(setup, version=version, by=request.user)
    except EditedMeanwhile as edited:
        messages.warning(request, f"{edited} Check it, and press again.")
    else:
        messages.success(request, "All controls are set as they were copied.")
    return redirect(setup)


def insert(request: HttpRequest, pk: int) -> HttpResponse:
    """Patch points and every control of one unit in the mix."""
    inserts = MixInsert.objects.visible_to(request.user).for_list()
    insert = get_object_or_404(inserts.select_related("strip__revision__setup__project"), pk=pk)
    setup, unit = insert.strip.revision.setup, insert.unit
    if setup.revisions.newest().get() != insert.strip.revision:
        raise Http404("Only units of the newest revision can be set.")
    panel = insert.panel or unit.model.current_panel()
    controls = list(panel.controls.all()) if panel else []
    beside = [each.unit for each in insert.strip.inserts.select_related("unit__model")]
    form = InsertForm(
        request.POST or None,
        unit=unit,
        controls=controls,
        initial=values_of(insert),
        why_ask=lambda control, value: why_not_on(control, value, lambda: phantom_ruling(beside)),
    )
    return edit_page(
        request,
        form,
        thing=setup,
        title=f"{unit}",
        crumbs=_crumbs(setup, setup),
        template="sessions/deliverables/mixes/insert.html",
        save=lambda version: set_insert(
            insert, version=version, by=request.user, panel=panel, **form.facts()
        ),
        compare=partial(_insert_differences, form, insert, controls),
        then=f"{unit} saved.",
        to=setup.get_absolute_url(),
        insert=insert,
        revision=insert.strip.revision,
    )


def _insert_differences(form, insert: MixInsert, controls, saved: MixSetup):
    """From the same unit of that strip, wherever it stands now."""
    now = MixInsert.objects.filter(
        strip__revision__in=saved.revisions.newest(),
        strip__name=insert.strip.name,
        unit=insert.unit_id,
        channel=insert.channel,
    ).first()
    return differences(
        form, now and InsertForm(unit=insert.unit, controls=controls, initial=values_of(now))
    )


def made_through(request: HttpRequest, pk: int) -> HttpResponse:
    """Which revision a deliverable was printed through."""
    deliverables = Deliverable.objects.visible_to(request.user).select_related("song__project")
    deliverable = get_object_or_404(deliverables, pk=pk)
    revisions = MixRevision.objects.filter(setup__songs=deliverable.song)
    form = MadeThroughForm(
        request.POST or None,
        initial={"mix_revision": deliverable.mix_revision_id},
        revisions=revisions.select_related("setup").order_by("-created_at", "-pk"),
    )
    if form.is_bound and form.is_valid():
        point_to(deliverable, form.cleaned_data["mix_revision"], by=request.user)
        messages.success(request, f"{deliverable} saved.")
        return redirect(deliverable)
    listed = reverse("deliverables:list", args=[deliverable.song_id])
    crumbs = trail(("Songs", "songs:list"), deliverable.song)
    crumbs += [("Deliverables", listed), *trail(deliverable)]
    return form_page(request, form, title="Made through", crumbs=crumbs)
