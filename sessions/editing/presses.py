"""What is pressed once happens once: a repeat of a form that was sent gets the first answer.

Every form that makes something carries a number of its own (`{% press_number %}`). Who presses
twice, or whose browser sends again, sends the same number with the same content. Its row is written
in the transaction of what it makes: both are there or neither is, also after a power cut, and of two
at the same moment the second waits for the first.

Only a redirect is an answer that counts: a form that came back with what is wrong may be sent again.
"""

from datetime import datetime, timedelta
from functools import partial
from hashlib import sha256
from uuid import uuid4

from django.conf import settings
from django.contrib import messages
from django.contrib.messages.storage.cookie import MessageDecoder, MessageEncoder
from django.db import models, transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from sessions.editing.races import answer_in_words

FIELD = "press"
KEPT = timedelta(days=30)


def new_number() -> str:
    return str(uuid4())


class PressedBefore(Exception):
    """The form was sent already, and `press` knows where that led."""

    def __init__(self, press: "Press"):
        self.press = press
        super().__init__(f"This was done already: {press}")


class PressQuerySet(models.QuerySet):
    def claim(self, request: HttpRequest) -> "Press":
        """The first press of the request's number; raises PressedBefore for any further. Call it
        inside the transaction that makes what is made."""
        press, is_first = self.get_or_create(user=request.user, key=_key_of(request))
        if not is_first:
            raise PressedBefore(press)
        return press

    def forget_old(self, now: datetime) -> int:
        """Delete what nobody sends again; how many there were. Part of the regular work."""
        return self.filter(at__lt=now - KEPT).delete()[0]


class Press(models.Model):
    """A form that somebody sent, and where that led."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    key = models.CharField(max_length=64)
    location = models.TextField()
    messages = models.JSONField(default=list, encoder=MessageEncoder, decoder=MessageDecoder)
    at = models.DateTimeField(auto_now_add=True, db_index=True)

    objects = PressQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "presses"
        constraints = [models.UniqueConstraint("user", "key", name="press_once")]

    def __str__(self) -> str:
        return f"{self.location}, {self.at}"

    def keep_answer(self, request: HttpRequest, location: str) -> None:
        self.location, self.messages = location, _messages_in(request)
        self.save()

    def answer_again(self, request: HttpRequest) -> HttpResponse:
        """The first answer; what it said is said once, whether or not it was seen."""
        waiting = {message.message for message in _messages_in(request)}
        for message in self.messages:
            if message.message not in waiting:
                messages.add_message(request, message.level, message.message, message.extra_tags)
        return HttpResponseRedirect(self.location)


class PressMiddleware:
    """Answers what is posted: once for each number, and in words where a constraint refuses it.

    The view of a form that carries a number runs in one transaction, with the number's row. One that
    may not hold a transaction all the while, since it measures a file, is marked with Django's
    `non_atomic_requests` and claims the press itself.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        return self.get_response(request)

    def process_view(self, request, view, args, kwargs):
        if request.method != "POST":
            return None
        return answer_in_words(request, partial(_answer, request, view, args, kwargs))


def _answer(request, view, args, kwargs) -> HttpResponse:
    try:
        numbered = request.POST.get(FIELD) and request.user.is_authenticated
        if numbered and not hasattr(view, "_non_atomic_requests"):
            return _once(request, view, args, kwargs)
        return view(request, *args, **kwargs)
    except PressedBefore as before:
        return before.press.answer_again(request)


@transaction.atomic
def _once(request, view, args, kwargs) -> HttpResponse:
    press = Press.objects.claim(request)
    response = view(request, *args, **kwargs)
    if 300 <= response.status_code < 400:
        press.keep_answer(request, response.url)
    else:
        press.delete()
    return response


def _key_of(request: HttpRequest) -> str:
    """Of the number, the page and all that was typed: another content is another press, and so is
    what carries no number."""
    number = request.POST.get(FIELD) or new_number()
    files = [(name, [(each.name, each.size) for each in of]) for name, of in request.FILES.lists()]
    sent = [number, request.get_full_path(), list(request.POST.lists()), files]
    return sha256(repr(sent).encode()).hexdigest()


def _messages_in(request: HttpRequest) -> list:
    """Those that wait to be shown, which they still do afterwards."""
    storage = messages.get_messages(request)
    waiting = list(storage)
    storage.used = False
    return waiting
