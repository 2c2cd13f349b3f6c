from datetime import datetime, timedelta
from uuid import uuid4

from django.conf import settings
from django.contrib.contenttypes.fields import GenericForeignKey
from django.contrib.contenttypes.models import ContentType
from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.urls import reverse
from django.utils import timezone
from django.utils.html import escape

PANEL = 100  # letters about one thing that its page shows
LATE_AFTER = timedelta(minutes=5)  # a letter that waits so long is waited for


class LetterState(models.TextChoices):
    WAITING = "waiting", "Waiting"
    SENT = "sent", "Sent"
    FAILED = "failed", "Failed"
    REPLACED = "replaced", "Replaced"
    TOLD = "told", "Told otherwise"


HEARD = (LetterState.WAITING, LetterState.SENT, LetterState.TOLD)


class LetterQuerySet(models.QuerySet):
    def waiting(self):
        return self.filter(state=LetterState.WAITING)

    def untried(self):
        return self.waiting().filter(error="")

    def due(self, now: datetime):
        """Without those that are to go later; of those that were written later than now the clock was
        set back, and nobody knows how long they have waited."""
        set_back = Q(written_at__gt=now)
        return self.filter(Q(not_before=None) | Q(not_before__lte=now) | set_back)

    def not_sent(self):
        return self.filter(state__in=[LetterState.WAITING, LetterState.FAILED])

    def not_told(self, now: datetime):
        """What its reader should know by now, and does not: it failed, or has been kept waiting."""
        long_ago = now - LATE_AFTER
        late = ~Q(error="") | Q(written_at__lt=long_ago) & ~Q(not_before__gte=long_ago)
        return self.filter(Q(state=LetterState.FAILED) | Q(late, state=LetterState.WAITING))

    def heard(self):
        """What their readers know or are about to: a letter that failed told nobody, unless somebody
        did, and one that was replaced told nobody."""
        return self.filter(state__in=HEARD)

    def replaceable(self):
        """What no reader can have seen, nor will while it is replaced by what is written now."""
        untouched = Q(state=LetterState.WAITING, taken_up_at=None, may_have_gone=False)
        return self.filter(untouched | Q(state=LetterState.FAILED), secret="")

    def visible_to(self, user):
        """All of them where prices may be seen, else those that the user wrote or was written."""
        if user.has_perm("studio_sessions.see_money"):
            return self
        to_them = Q(person__user=user) | Q(written_by=user)
        return self.filter(to_them | Q(to__iexact=user.email) if user.email else to_them)

    def with_readers(self):
        return self.select_related("person", "client", "written_by", "told_by")

    def for_list(self):
        """Without what a list does not show, and may be long."""
        return self.with_readers().defer("text", "html", "told")

    def for_panel(self, user):
        """The newest, each with whether the user may read it as `may_be_read`."""
        readable = Letter.objects.visible_to(user).filter(pk=OuterRef("pk"))
        return self.for_list().annotate(may_be_read=Exists(readable))[:PANEL]

    def with_topics(self):
        """One query for the topics, and one for each kind of thing among them."""
        return self.prefetch_related("topics__about")

    def about_thing(self, thing: models.Model):
        return self.about_things(type(thing), [thing.pk])

    def about_things(self, model: type[models.Model], keys):
        topics = LetterTopic.objects.filter(
            letter=OuterRef("pk"),
            about_type=ContentType.objects.get_for_model(model),
            about_id__in=keys,
        )
        return self.filter(Exists(topics))


class Letter(models.Model):
    """An e-mail to one address, as it was written: about what, and what came of it."""

    to = models.EmailField()
    person = models.ForeignKey(
        "studio_sessions.Person", models.PROTECT, null=True, blank=True, related_name="letters"
    )
    client = models.ForeignKey(
        "studio_sessions.Client", models.PROTECT, null=True, blank=True, related_name="letters"
    )
    kind = models.CharField(max_length=30, help_text="What it tells: confirmed, moved_up, summary…")
    subject = models.CharField(max_length=250)
    text = models.TextField()
    html = models.TextField(blank=True)
    told = models.JSONField(
        default=dict,
        blank=True,
        help_text="What it says of each thing, for comparing with what is to be told next.",
    )
    secret = models.CharField(
        max_length=500, blank=True, help_text="Stands in the text, until that has been sent."
    )
    secret_forgotten = models.BooleanField(default=False)
    sender = models.CharField(
        max_length=400,
        blank=True,
        help_text="An address, or a name with one; empty: the setting DEFAULT_FROM_EMAIL.",
    )
    message_id = models.UUIDField(default=uuid4, unique=True, editable=False)
    copy_of = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="copies"
    )
    written_at = models.DateTimeField(default=timezone.now)
    written_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    not_before = models.DateTimeField(
        null=True, blank=True, help_text="It waits until then, so that what it tells can be undone."
    )
    state = models.CharField(max_length=8, choices=LetterState, default=LetterState.WAITING)
    taken_up_at = models.DateTimeField(null=True, blank=True)
    may_have_gone = models.BooleanField(
        default=False, help_text="A mail server had begun to take it, and its answer never came."
    )
    sent_at = models.DateTimeField(null=True, blank=True)
    error = models.TextField(blank=True)
    told_how = models.CharField(
        "how they were told",
        max_length=120,
        blank=True,
        help_text="Where the letter failed: by telephone, in person.",
    )
    told_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    told_at = models.DateTimeField(null=True, blank=True)

    objects = LetterQuerySet.as_manager()

    class Meta:
        ordering = ["-written_at", "-pk"]
        indexes = [
            models.Index(fields=["state", "written_at"], name="letter_by_state"),
            models.Index(fields=["to", "written_at"], name="letter_by_address"),
        ]

    def __str__(self) -> str:
        return f"{self.subject}, to {self.to}"

    def get_absolute_url(self) -> str:
        return reverse("letters:detail", args=[self.pk])

    @property
    def reader(self) -> str:
        """Who is told. Reads person and client; if not loaded, they cost queries."""
        return str(self.person or self.client or self.to)

    @property
    def is_late(self) -> bool:
        waits = self.state == LetterState.WAITING
        since = max(self.written_at, self.not_before or self.written_at)
        return waits and bool(self.error or since < timezone.now() - LATE_AFTER)

    @property
    def is_not_told(self) -> bool:
        """As `not_told` asks of many."""
        return self.state == LetterState.FAILED or self.is_late

    def superseded_by(self) -> "Letter | None":
        """What its reader has heard since of a thing that this letter tells of, if anything: whoever
        read this one once more would be told the opposite. Costs two queries."""
        if not self.told:
            return None
        about = Q(pk__in=[])
        for topic in self.topics.all():
            about |= Q(about_type=topic.about_type_id, about_id=topic.about_id)
        topics = LetterTopic.objects.filter(about, letter=OuterRef("pk"))
        reader = Q(to=self.to)  # or at another address by now
        if self.person_id or self.client_id:
            reader |= Q(person=self.person_id, client=self.client_id)
        later = Letter.objects.heard().filter(reader, Exists(topics), pk__gt=self.pk)
        return later.exclude(told={}).first()

    def forget_secret(self) -> None:
        """What only its reader may know stays in neither the database nor its backups."""
        if self.secret:
            self.text = self.text.replace(self.secret, "…")
            self.html = self.html.replace(escape(self.secret), "…")
            self.secret, self.secret_forgotten = "", True


class LetterTopic(models.Model):
    """A thing that a letter is about: a session, each of a series, a delivery."""

    letter = models.ForeignKey(Letter, models.CASCADE, related_name="topics")
    about_type = models.ForeignKey(ContentType, models.PROTECT, related_name="+")
    about_id = models.PositiveBigIntegerField()
    about = GenericForeignKey("about_type", "about_id")

    class Meta:
        ordering = ["pk"]
        indexes = [models.Index(fields=["about_type", "about_id"], name="letter_about")]

    def __str__(self) -> str:
        return str(self.about)


class LetterFileQuerySet(models.QuerySet):
    def visible_to(self, user):
        """Those of the letters that the user may read. A paper written to somebody else may state
        prices: whoever may not see those is shown only that it goes along."""
        if user.has_perm("studio_sessions.see_money"):
            return self
        files = self.filter(letter__in=Letter.objects.visible_to(user))
        theirs = Q(letter__person__user=user)
        if user.email:
            theirs |= Q(letter__to__iexact=user.email)
        return files.filter(theirs | ~Q(method=""))


class LetterFile(models.Model):
    """A file that goes with a letter; a calendar object where it has an iTIP method (RFC 5546)."""

    letter = models.ForeignKey(Letter, models.CASCADE, related_name="files")
    name = models.CharField(max_length=100)
    content_type = models.CharField(max_length=100)
    method = models.CharField(max_length=20, blank=True)
    content = models.BinaryField(default=bytes)
    made_by = models.CharField(
        max_length=200,
        blank=True,
        help_text="Where the function stands that makes its content when the letter goes.",
    )
    made_of = models.PositiveBigIntegerField(null=True, blank=True)

    objects = LetterFileQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.name
