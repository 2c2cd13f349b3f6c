from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.views.decorators.http import require_POST

from gear.editing.form_pages import trail
from sessions.deliverables.models import Deliverable
from sessions.deliverables.nulling.models import NullTest
from sessions.deliverables.nulling.plot import HEIGHT, WIDTH, plot_of
from sessions.deliverables.nulling.running import CannotCompare, mixes_for, start
from sessions.tasks.models import Worker


@require_POST
def start_test(request: HttpRequest, pk: int) -> HttpResponse:
    deliverables = Deliverable.objects.visible_to(request.user).stems().for_list()
    stems = get_object_or_404(deliverables, pk=pk)
    chosen = request.POST.get("mix", "")
    mix = next((file for file in mixes_for(stems) if str(file.pk) == chosen), None)
    if mix is None:
        messages.error(request, "Choose the mix to hold the stems against.")
        return redirect(stems)
    try:
        return redirect(start(stems, mix=mix, by=request.user))
    except CannotCompare as refusal:
        messages.error(request, str(refusal))
        return redirect(stems)


def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """What was found; until then the page looks again by itself."""
    tests = NullTest.objects.visible_to(request.user).with_subjects()
    test = get_object_or_404(tests, pk=pk)
    words = test.words
    context = {
        "test": test,
        "song": test.stems.song,
        "words": words,
        "no_worker": not test.has_ended and not Worker.objects.alive(),
        "plot": words and plot_of(words),
        "box": f"0 0 {WIDTH} {HEIGHT}",
        "crumbs": [*trail(("Songs", "songs:list"), test.stems.song, test.stems), (str(test), "")],
    }
    return TemplateResponse(request, "sessions/deliverables/nulling/detail.html", context)
