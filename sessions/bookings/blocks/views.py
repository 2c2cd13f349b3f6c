from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect

from gear.editing.form_pages import confirm_page, edit_page, form_page, trail
from gear.editing.versions import version_in
from gear.list_pages import list_page
from sessions.bookings.blocks.actions import change_block, make_block, remove_block
from sessions.bookings.blocks.filters import BlockFilter
from sessions.bookings.blocks.forms import BlockForm
from sessions.bookings.blocks.tables import BlockTable
from sessions.bookings.blocks.taken import TakenTime
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import Block
from sessions.bookings.telling.asking import asking, asks_who_is_told

BLOCKS = ("Blocks", "blocks:list")


def blocks(request: HttpRequest) -> HttpResponse:
    """Blocks now and to come, the next first, unless the filter says otherwise."""
    asked = request.GET.copy()
    asked.setdefault("when", "upcoming")
    found = BlockFilter(asked, Block.objects.visible_to(request.user).for_list(), request=request)
    table = BlockTable(found.qs, order_by="-starts_at" if asked["when"] == "past" else "starts_at")
    template = "sessions/bookings/blocks/blocks.html"
    return list_page(request, table, template, {"filter": found}, per_page=30)


@asks_who_is_told
def block_create(request: HttpRequest) -> HttpResponse:
    """Block time; the address may name a room, a person or a unit, and from when to when. Where
    sessions to come have it, the page first shows each with what could stand in."""
    form = BlockForm(request.POST or None, initial=_wanted(request.GET))
    page = {"title": "Block time", "crumbs": trail(BLOCKS)}
    if form.is_bound and form.is_valid():
        taken = TakenTime(request.POST, form.cleaned_data)
        if not taken.is_settled:
            return form_page(request, form, **page, **taken.page())
        try:
            with asking(request):
                block = make_block(**form.cleaned_data, **taken.facts, by=request.user)
        except BookingRefused as refusal:
            form.add_error(None, refusal)
            page |= taken.page()
        else:
            messages.success(request, f"Blocked for {block}: {block.period_in_words}.")
            return redirect(block)
    return form_page(request, form, **page)


def _wanted(asked) -> dict:
    return {
        "kind": asked.get("kind"),
        "starts_at": asked.get("starts"),
        "ends_at": asked.get("ends"),
        "rooms": asked.getlist("room"),
        "people": asked.getlist("person"),
        "units": asked.getlist("unit"),
    }


@asks_who_is_told
def block_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Save the change; where somebody else saved meanwhile, show both versions. What it newly takes
    from sessions to come is shown as in `block_create`."""
    block = _block_of(request, pk)
    form = BlockForm(request.POST or None, instance=block)
    taken = None
    if form.is_bound and form.is_valid():
        taken = TakenTime(request.POST, form.cleaned_data)
        if not taken.is_settled:
            page = {"title": f"Edit {block}", "crumbs": trail(BLOCKS)}
            seen = version_in(request.POST.get("seen", ""))
            return form_page(request, form, seen=seen, **page, **taken.page())

    def save(version: int) -> Block:
        with asking(request):
            return change_block(
                block, version=version, **form.cleaned_data, **taken.facts, by=request.user
            )

    more = taken.page() if taken else {}
    return edit_page(request, form, save=save, crumbs=trail(BLOCKS), **more)


@asks_who_is_told
def block_remove(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask, then give the time back."""
    block = _block_of(request, pk)
    if request.method == "POST":
        with asking(request):
            remove_block(block, by=request.user)
        messages.success(request, f"{block} removed: the time may be booked.")
        return redirect(block)
    return confirm_page(
        request,
        question=f"Remove “{block}”, {block.period_in_words}?",
        text="Its rooms, people and units may be booked again, and holds behind it move up.",
        action="Remove block",
        title=f"Remove {block}",
        crumbs=trail(BLOCKS),
        danger=False,
    )


def _block_of(request: HttpRequest, pk: int) -> Block:
    """One that still stands: what is removed is history."""
    standing = Block.objects.visible_to(request.user).filter(removed=False)
    return get_object_or_404(standing.for_list(), pk=pk)
