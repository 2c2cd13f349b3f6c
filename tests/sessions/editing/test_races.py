"""What is answered where a constraint refuses; which can: `tests/sessions/constraint_races/`."""

import pytest
from django.contrib import messages
from django.contrib.messages.storage.cookie import CookieStorage
from django.core.exceptions import ObjectDoesNotExist
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError
from django.http import Http404, HttpResponse
from django.test import RequestFactory

from sessions.editing.races import answer_in_words


class Refused:
    """A view that is refused so often, each time after it has said that it saved."""

    def __init__(self, times, **typed):
        self.times, self.asked = times, 0
        self.request = RequestFactory().post("/", typed)
        self.request._messages = CookieStorage(self.request)

    def view(self):
        self.asked += 1
        messages.success(self.request, "It is saved.")
        if self.asked <= self.times:
            raise IntegrityError("song_once_a_project")
        return HttpResponse("saved")

    def answer(self):
        return answer_in_words(self.request, self.view)


def test_view_that_was_refused_is_asked_once_more():
    refused = Refused(1)

    assert refused.answer().content == b"saved"
    assert refused.asked == 2
    assert [str(said) for said in refused.request._messages] == ["It is saved."]


def test_view_that_is_refused_again_is_answered_in_words_and_logged(caplog):
    refused = Refused(2)

    answered = refused.answer()

    assert (answered.status_code, answered.template_name) == (409, "409.html")
    assert refused.asked == 2
    assert list(refused.request._messages) == []
    [logged] = caplog.records
    assert "song_once_a_project" in logged.exc_text


def test_what_was_merged_between_reading_and_locking_is_not_there():
    """The view that is asked again no longer finds it, and says so as it does of anything that is not there."""
    answers = iter([ObjectDoesNotExist("merged meanwhile"), Http404("Not here.")])
    request = Refused(0).request

    def view():
        raise next(answers)

    with pytest.raises(Http404):
        answer_in_words(request, view)


def test_what_is_never_there_is_an_error():
    def view():
        raise ObjectDoesNotExist("of our own making")

    with pytest.raises(ObjectDoesNotExist):
        answer_in_words(Refused(0).request, view)


def test_upload_is_not_repeated():
    refused = Refused(1, file=SimpleUploadedFile("mix.wav", b"RIFF"))

    assert refused.answer().status_code == 409
    assert refused.asked == 1


@pytest.mark.django_db
def test_refusal_is_a_page_of_ours(engineer):
    refused = Refused(2)
    refused.request.user, refused.request.id = engineer, "4711"

    assert "This could not be saved" in refused.answer().render().text
