from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from gear.asked import way_back
from gear.editing.versions import EditedMeanwhile
from studio.first_steps.steps import KINDS, first_steps_of
from studio.sign_ins import MADE_JUST_NOW


def first_steps(request: HttpRequest) -> HttpResponse:
    """The list by itself, whether or not Today shows it. What is posted does one step."""
    posted = request.POST.get("step", "")
    if request.method == "POST" and (posted not in KINDS or KINDS[posted].form is None):
        raise Http404
    steps, back = first_steps_of(request, posted=posted), way_back(request, reverse("first_steps"))
    if posted and not (form := steps.step(posted).form):
        messages.info(
            request, f"{steps.step(posted).kind.title}: somebody else did this meanwhile."
        )
        return redirect(back)
    if posted and form.is_valid() and _saved(request, form):
        # A link that no letter carries is shown there, once.
        return redirect("sign_ins" if MADE_JUST_NOW in request.session else back)
    context = {"steps": steps, "next": back}
    return TemplateResponse(request, "studio/first_steps/page.html", context)


def _saved(request: HttpRequest, form) -> bool:
    try:
        said = form.save(request)
    except EditedMeanwhile as edited:
        form.add_error(None, f"{edited} Look at “The studio” before you save.")
        return False
    except ValidationError as refusal:  # somebody else invited them meanwhile
        form.add_error(None, refusal)
        return False
    if said:
        messages.success(request, said)
    return True


@require_POST
def put_away(request: HttpRequest) -> HttpResponse:
    """Whether Today shows the list, for this manager."""
    request.user.first_steps_put_away = request.POST.get("put_away") == "on"
    request.user.save(update_fields=["first_steps_put_away"])
    if request.user.first_steps_put_away:
        messages.success(request, "Put away. The first steps stand under Studio, The studio.")
    return redirect("home")
