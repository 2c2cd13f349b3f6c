from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse

from gear.editing.versions import EditedMeanwhile
from sessions.recall.rebuilds.actions import RebuildRefused, take_over
from sessions.recall.rebuilds.checklist import stage_line
from sessions.recall.rebuilds.forms import TakeOverForm
from sessions.recall.rebuilds.taking_over import taken_of
from sessions.recall.rebuilds.views.common import crumbs_of, step_of


def take_model_over(request: HttpRequest, pk: int) -> HttpResponse:
    """Add the model and panel that the sheet has, with a unit, to the gear, and use it in the step."""
    step = step_of(request, pk)
    line = stage_line(step)
    rebuild = line.step.rebuild
    back = f"{rebuild.get_absolute_url()}#step-{step.pk}"
    if line.unit or rebuild.is_finished:
        messages.info(request, "Nothing to take over: a unit of the gear stands here.")
        return redirect(back)
    form = TakeOverForm(request.POST or None, line=line)
    if request.method == "POST" and form.is_valid():
        try:
            unit = take_over(step, **form.cleaned_data, by=request.user)
        except (RebuildRefused, EditedMeanwhile) as refusal:
            messages.warning(request, str(refusal))
            return redirect(back)
        except ValidationError as refusal:
            form.add_error(None, _beside_nothing(refusal))
        else:
            messages.success(request, f"{unit} is in the gear, and is used here.")
            return redirect(back)
    context = {
        "form": form,
        "line": line,
        "taken": taken_of(line.wanted),
        "rebuild": rebuild,
        "back": back,
        "crumbs": crumbs_of(rebuild, "Take over"),
    }
    status = 422 if form.is_bound else 200
    return TemplateResponse(
        request, "sessions/recall/rebuilds/take_over.html", context, status=status
    )


def _beside_nothing(refusal: ValidationError) -> list[str]:
    """What the sheet says and the gear has no room for, by what it is about."""
    if not hasattr(refusal, "error_dict"):
        return refusal.messages
    return [
        f"The gear can’t take its {name.replace('_', ' ')} over: {' '.join(said)}"
        for name, said in refusal.message_dict.items()
    ]
