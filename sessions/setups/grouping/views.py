from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from gear.editing.form_pages import create_page, edit_page
from sessions.setups.chains.views.setups import crumbs_of
from sessions.setups.grouping.forms import ChainGroupForm
from sessions.setups.models import ChainGroup, Setup


def group_create(request: HttpRequest, pk: int) -> HttpResponse:
    """Chains of the setup that belong together: a pair, a kit, a section."""
    setups = Setup.objects.visible_to(request.user).select_related("session__project")
    setup = get_object_or_404(setups, pk=pk)
    form = ChainGroupForm(request.POST or None, instance=ChainGroup(setup=setup))
    crumbs = crumbs_of(setup.session)
    return create_page(request, form, title="New pair or group", crumbs=crumbs)


def group_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Its chains, spacing and angle, and whether the halves of a pair are set alike."""
    groups = ChainGroup.objects.visible_to(request.user).select_related("setup__session__project")
    group = get_object_or_404(groups, pk=pk)
    form = ChainGroupForm(request.POST or None, instance=group)
    return edit_page(request, form, crumbs=crumbs_of(group.setup.session))
