import factory
from factory.django import DjangoModelFactory

from sessions.letters.models import Letter, LetterFile, LetterTopic
from tests.factories.bookings import RecordingSessionFactory


class LetterFactory(DjangoModelFactory):
    """About a session, waiting to be sent; `about` says which."""

    class Meta:
        model = Letter
        skip_postgeneration_save = True

    to = factory.Sequence(lambda n: f"reader{n}@letters.example")
    kind = "confirmed"
    subject = factory.Sequence(lambda n: f"Confirmed: session {n}")
    text = "The session is confirmed.\n"
    html = '<!doctype html><html lang="en-GB"><p>The session is confirmed.</p></html>'

    @factory.post_generation
    def about(letter, create, thing, **kwargs):
        LetterTopic.objects.create(letter=letter, about=thing or RecordingSessionFactory())


class LetterFileFactory(DjangoModelFactory):
    class Meta:
        model = LetterFile

    letter = factory.SubFactory(LetterFactory)
    name = "confirmation.pdf"
    content_type = "application/pdf"
    content = b"%PDF-1.7 "
