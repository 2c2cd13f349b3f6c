from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.template.response import TemplateResponse

from gear.editing.form_pages import create_page, edit_page, trail
from sessions.bookings.gear_sets.forms import GearSetForm
from sessions.bookings.models import GearSet

SETS = ("Gear sets", "gear_sets:list")


def gear_sets(request: HttpRequest) -> HttpResponse:
    sets = GearSet.objects.for_list().order_by("retired", "name")
    return TemplateResponse(request, "sessions/bookings/gear_sets/list.html", {"sets": sets})


def create(request: HttpRequest) -> HttpResponse:
    form = GearSetForm(request.POST or None)
    crumbs = trail(SETS)
    return create_page(request, form, title="New gear set", crumbs=crumbs, then="gear_sets:list")


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    gear_set = get_object_or_404(GearSet, pk=pk)
    return edit_page(
        request, GearSetForm(request.POST or None, instance=gear_set), crumbs=trail(SETS)
    )
