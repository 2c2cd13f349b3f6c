"""What the page is told about a field that it sent.

- 200: it is saved. `value` is its canonical form, `drawing`, `words` and `angle` show it; `seen` is
  the chain's new state, `state`, `warnings`, `setup_warnings` and the stage's `curves` are regions of the page, `others`
  whether somebody else changed the chain since the page was built, `half` the chain that is set
  alike with it, if there is one.
- 422: `problem` says what would be understood, or, where it `asks`, what harm it would do: sent once
  more with `is_sure` it is saved. Nothing was saved.
- 409: somebody else saved another value of it, `theirs`, or took the stage out (`gone`).
"""

from django.http import JsonResponse
from django.template.loader import render_to_string

from gear.panels.engraving import draw_with_figures
from gear.panels.reading import read_control
from sessions.setups.chains.actions import Seen
from sessions.setups.chains.fields import PointNames
from sessions.setups.chains.forms import values_of
from sessions.setups.chains.versions import last_edit
from sessions.setups.editor.forms import StageLineForm
from sessions.setups.editor.page import ChainLine, warnings_of
from sessions.setups.models import Chain, Revision, Stage


def refused(problem: str, *, asks: bool = False) -> JsonResponse:
    return JsonResponse({"problem": problem, "asks": asks}, status=422)


def taken_out() -> JsonResponse:
    problem = "Somebody removed this unit from the chain. Copy what you need, then reload the page."
    return JsonResponse({"gone": True, "problem": problem}, status=409)


def saved_otherwise(stage: Stage, name: str, *, names: PointNames) -> JsonResponse:
    edit = last_edit(stage.revision)
    who = str(edit and edit.history_user or "Somebody else")
    return JsonResponse(_shown(stage, name, names) | {"who": who}, status=409)


def saved(request, line: ChainLine, key: str, name: str, *, seen: str, before: Revision):
    """`seen` is what the page had before it, `before` how the chain stood until now."""
    each = next(each for each in line.stages if each.key == key)
    context = {"line": line, "warnings": line.warnings, "curves": each.curves}
    whole = {"setup_warnings": warnings_of(line.chain.setup, line.in_session)}
    return JsonResponse(
        _shown(each.stage, name, line.names)
        | {
            "seen": str(line.seen),
            "others": seen != str(Seen.of(before)),
            "half": _half_of(line.chain),
            "state": render_to_string("sessions/setups/editor/_state.html", context, request),
            "curves": render_to_string("sessions/setups/editor/_curves.html", context, request),
            "warnings": render_to_string("sessions/setups/editor/_warnings.html", context, request),
            "setup_warnings": render_to_string(
                "sessions/setups/editor/_setup_warnings.html", whole, request
            ),
        }
    )


def _half_of(chain: Chain) -> int | None:
    if not (chain.group and chain.group.is_set_alike):
        return None
    return chain.group.chains.exclude(pk=chain.pk).values_list("pk", flat=True).first()


def _shown(stage: Stage, name: str, names: PointNames) -> dict:
    """The field as it is saved now: its text, and for a control its drawing too."""
    form = StageLineForm(stage, names=names)
    value = values_of(stage).get(name)
    text = form.fields[name].prepare_value(value)
    shown = {"value": "" if text is None else str(text)}
    control = form.controls.get(name)
    if control:
        reading = read_control(control, value)
        shown |= {
            "drawing": draw_with_figures(control, value),
            "words": reading.clock_text,
            "angle": reading.angle,
        }
    return shown
