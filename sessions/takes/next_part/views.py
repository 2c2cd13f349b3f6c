from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse

from gear.asked import whole_number
from gear.editing.versions import EditedMeanwhile
from gear.equipment.cautions import PATCHING
from sessions.bookings.models import RecordingSession
from sessions.setups.chains.actions import ChainRecorded, OutOfService
from sessions.setups.chains.availability import not_ready
from sessions.setups.chains.views.messages import say_lost
from sessions.setups.models import Setup
from sessions.setups.swapping.actions import NoMicrophone
from sessions.songs.models import Part, Song
from sessions.takes.forms import RecordingNowForm
from sessions.takes.next_part.actions import Begun, begin_part
from sessions.takes.next_part.forms import NextPartForm
from sessions.takes.tracking.recording_now import asked_for, parts_of


def next_part(request: HttpRequest, pk: int) -> HttpResponse:
    """Which part is recorded next, by whom and through what; `?next=` is the part that was tapped."""
    sessions = RecordingSession.objects.visible_to(request.user).select_related("project")
    session = get_object_or_404(sessions, pk=pk)
    query = asked_for(session, request.GET)
    now = RecordingNowForm(query, session=session)
    if not now.is_valid():
        messages.info(request, "Choose the song that is recorded first.")
        return redirect("takes:session", pk)
    song, setup = now.cleaned_data["song"], now.cleaned_data["setup"]
    parts = parts_of(song, setup, query)
    form = NextPartForm(request.POST or None, session=session, song=song, setup=setup, parts=parts)
    tapped = whole_number(request.GET.get("next"))
    form.initial["part"] = next(
        (line.key for line in form.lines if line.part.pk == tapped),
        form.first_to_record(parts),
    )
    if request.method == "POST" and form.is_valid():
        begun = _begin(form, by=request.user)
        if begun:
            return _go_on(request, session, form, begun)
    context = {
        "session": session,
        "song": song,
        "form": form,
        "back": f"{reverse('takes:session', args=[pk])}?{_query(song, setup, parts)}",
        "cautions": [PATCHING],
    }
    return TemplateResponse(request, "sessions/takes/next_part/page.html", context)


def _begin(form: NextPartForm, *, by) -> Begun | None:
    """None where it was refused; the form says why."""
    facts = form.cleaned_data
    part, version = facts["part"]
    try:
        return begin_part(
            part,
            version=version,
            performer=facts["performer"],
            chains=facts["chains"],
            microphone=facts["microphone"],
            by=by,
        )
    except (ChainRecorded, NoMicrophone) as refusal:
        form.add_error("chain", str(refusal))
    except OutOfService as refusal:
        form.add_error("microphone", str(refusal))
    except EditedMeanwhile:
        form.add_error("performer", f"Somebody changed {part} just now: choose again.")
    return None


def _go_on(request, session: RecordingSession, form: NextPartForm, begun: Begun) -> HttpResponse:
    part, microphone = form.cleaned_data["part"][0], form.cleaned_data["microphone"]
    setup = begun.chains[0].setup if begun.chains else form.setup
    through = f", through {', '.join(map(str, begun.chains))}" if begun.chains else ""
    messages.success(request, f"Next: {part}{through}.")
    if begun.struck:
        messages.info(request, f"Struck: {', '.join(map(str, begun.struck))}.")
    say_lost(request, begun.lost)
    for each in not_ready(session, [microphone] if microphone else []):
        messages.warning(request, each.reason)
    query = _query(part.song, setup, [part])
    return redirect(f"{reverse('takes:session', args=[session.pk])}?{query}")


def _query(song: Song, setup: Setup | None, parts: list[Part]) -> str:
    query = QueryDict(mutable=True)
    query["song"] = song.pk
    if setup:
        query["setup"] = setup.pk
    query.setlist("part", [part.pk for part in parts])
    return query.urlencode()
