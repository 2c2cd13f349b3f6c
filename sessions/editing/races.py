"""Two people saving at once: a constraint of the database refuses the second, in words."""

import logging
from collections.abc import Callable

from django.core.exceptions import ObjectDoesNotExist
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse

logger = logging.getLogger(__name__)


def answer_in_words(request: HttpRequest, answer: Callable[[], HttpResponse]) -> HttpResponse:
    """What `answer` gives; asked once more where a constraint refused what it saved.

    What the form and the action check first sees by then what somebody else saved in the same
    moment, and says so beside the field: no constraint needs words of its own. One that refuses
    again was not met in a race: the log has the error. So it is with what somebody else merged or took
    out between its being read and being locked. An upload is not repeated, since its file may have been
    moved.
    """
    for tries_left in (0,) if request.FILES else (1, 0):
        try:
            return answer()
        except ObjectDoesNotExist:
            if not tries_left:
                raise
        except IntegrityError as error:
            refusal = error
        request._messages._queued_messages.clear()  # what it said was not saved
    logger.error("A constraint refused what was to be saved.", exc_info=refusal)
    return TemplateResponse(request, "409.html", status=409)
