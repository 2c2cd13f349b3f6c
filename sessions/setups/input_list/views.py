from collections.abc import Iterable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from gear.asked import whole_number
from gear.comma_separated import csv_answer
from gear.editing.versions import EditedMeanwhile
from gear.patchbay.models import PatchPoint
from sessions.setups.chains.actions import ChainRecorded
from sessions.setups.chains.availability import choices_for
from sessions.setups.chains.fields import PointNames
from sessions.setups.grouping.lines import groups_of
from sessions.setups.input_list.actions import save_lines
from sessions.setups.input_list.forms import InputLineForm
from sessions.setups.input_list.lines import COLUMNS, SETTINGS, line_of
from sessions.setups.input_list.reading import ListFileForm
from sessions.setups.input_list.starts import STARTS
from sessions.setups.models import Setup
from sessions.setups.patching.patch_list import newest_of_sessions

USUAL_LINES, MOST_LINES = 16, 128
#: What a list that starts from another leaves to be set and read anew.
NOT_COPIED = (*SETTINGS, "note")


def input_list(request: HttpRequest, pk: int) -> HttpResponse:
    """The chains of a setup as a table: `?start=` fills it for a kind of session, `?like=` as the
    list of another setup, a file as it says; nothing of that is saved until Save is pressed."""
    setup = get_object_or_404(Setup.objects.visible_to(request.user).with_chains(), pk=pk)
    file = ListFileForm(request.POST if "read" in request.POST else None, request.FILES or None)
    if request.method == "POST" and "read" not in request.POST:
        return _save(request, setup)
    filled = file.cleaned_data["lines"] if file.is_bound and file.is_valid() else _start(request)
    return _page(request, setup, _forms(setup, filled), file=file, is_filled=bool(filled))


def _save(request, setup: Setup) -> HttpResponse:
    forms = _forms(setup, [], data=request.POST)
    if all(form.is_valid() for form in forms):
        named = [form for form in forms if not form.is_blank]
        if "is_sure" not in request.POST:
            elsewhere = [
                revision
                for revision in newest_of_sessions([setup.session_id])
                if revision.chain.setup_id != setup.pk and revision.chain.is_up
            ]
            standing = [form for form in named if not (form.chain and form.chain.struck_at)]
            for form in standing:
                form.ask_about_phantom(standing, elsewhere)
        asks = any(form.errors for form in named)
        try:
            saved = None if asks else save_lines(setup, forms, by=request.user)
        except EditedMeanwhile as edited:
            messages.warning(
                request,
                f"Somebody changed “{edited.current.chain}” meanwhile, so nothing was saved: open "
                "the list in another window, compare, and save it there.",
            )
            return _page(request, setup, forms, status=409)
        except ChainRecorded as refusal:
            messages.warning(request, str(refusal))
            return _page(request, setup, forms, status=422)
        if saved is not None:
            count = f"{len(saved)} line{'' if len(saved) == 1 else 's'}"
            messages.success(
                request, f"{count} of the input list saved." if saved else "No change."
            )
            return redirect(request.path)
        return _page(request, setup, forms, asks=True, status=422)
    return _page(request, setup, forms, status=422)


def _forms(setup: Setup, filled: list[dict], data=None) -> list[InputLineForm]:
    """A form for each chain, then those that are `filled`, then blank ones."""
    shared = {
        "names": PointNames(PatchPoint.objects.for_list()),
        "choices": choices_for(setup.session, {}),
    }
    chains = list(setup.chains.all())
    blank = max(USUAL_LINES - len(chains) - len(filled), 4)
    count = min(whole_number(data.get("new")) or 0, MOST_LINES) if data else len(filled) + blank
    starts = [*filled, *[{}] * (count - len(filled))]
    return [
        InputLineForm(data, chain=chain, prefix=f"c{chain.pk}", **shared) for chain in chains
    ] + [
        InputLineForm(data, chain=None, prefix=f"n{number}", initial=start, **shared)
        for number, start in enumerate(starts)
    ]


def _start(request) -> list[dict]:
    """What the address asks for as a start."""
    if start := STARTS.get(request.GET.get("start", "")):
        return [{"source": source, "track": source} for source in start[1]]
    like = whole_number(request.GET.get("like"))
    setup = Setup.objects.visible_to(request.user).with_chains().filter(pk=like).first()
    if like is None or setup is None:
        return []
    lines = _lines(setup)
    return [{key: text for key, text in line.items() if key not in NOT_COPIED} for line in lines]


def _page(
    request, setup: Setup, forms, *, file=None, asks=False, is_filled=False, status=200
) -> HttpResponse:
    earlier = Setup.objects.visible_to(request.user).exclude(pk=setup.pk)
    context = {
        "setup": setup,
        "groups": groups_of(
            setup.groups.all(), [chain.newest_revision() for chain in setup.chains.all()]
        ),
        "forms": forms,
        "heads": list(COLUMNS.values()),
        "new": sum(form.chain is None for form in forms),
        "starts": [(key, name) for key, (name, _) in STARTS.items()],
        "earlier": earlier.filter(session__project=setup.session.project_id)
        .exclude(chains=None)
        .select_related("session")
        .order_by("-session__starts_at", "-pk")[:5],
        "file": file or ListFileForm(),
        "choices": forms[0].choices if forms else None,
        "points": forms[0].names.by_key.values() if forms else (),
        "asks": asks,
        "is_filled": is_filled,
    }
    template = "sessions/setups/input_list/page.html"
    return TemplateResponse(request, template, context, status=status)


@require_safe
def input_list_csv(request: HttpRequest, pk: int) -> HttpResponse:
    setup = get_object_or_404(Setup.objects.visible_to(request.user).with_chains(), pk=pk)
    rows = (line.values() for line in _lines(setup))
    name = f"input-list-{slugify(setup.name) or setup.pk}.csv"
    return csv_answer(name, list(COLUMNS.values()), rows)


def _lines(setup: Setup) -> Iterable[dict[str, str]]:
    names = PointNames(PatchPoint.objects.for_list())
    return [line_of(chain.newest_revision(), names.short) for chain in setup.chains.all()]
