from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from gear.editing.form_pages import edit_page
from gear.equipment.cautions import AMPLIFIER
from sessions.setups.chains.views.setups import crumbs_of
from sessions.setups.models import Source
from sessions.setups.sources.actions import change_source
from sessions.setups.sources.forms import SourceForm


def source(request: HttpRequest, pk: int) -> HttpResponse:
    """One source: who plays it, its tuning, and its amplifier with every control."""
    sources = Source.objects.visible_to(request.user).for_list()
    source = get_object_or_404(sources.select_related("setup__session__project"), pk=pk)
    form = SourceForm(request.POST or None, instance=source)
    return edit_page(
        request,
        form,
        crumbs=crumbs_of(source.setup.session),
        save=lambda seen: change_source(
            Source.objects.get(pk=pk), version=seen, by=request.user, **form.facts()
        ),
        to=request.path if "amplifier" in form.changed_data else "",
        title=f"Source: {source}",
        template="sessions/setups/sources/source.html",
        source=source,
        chains=list(source.chains.all()),
        caution=AMPLIFIER if source.amplifier or source.own_amplifier else None,
    )
