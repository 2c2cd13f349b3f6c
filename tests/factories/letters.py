import factory
from factory.django import DjangoModelFactory

from sessions.letters.models import Letter
from tests.factories.bookings import RecordingSessionFactory


class LetterFactory(DjangoModelFactory):
    """About a session, waiting to be sent."""

    class Meta:
        model = Letter

    to = factory.Sequence(lambda n: f"reader{n}@letters.example")
    kind = "confirmed"
    about = factory.SubFactory(RecordingSessionFactory)
    subject = factory.Sequence(lambda n: f"Confirmed: session {n}")
    body = "The session is confirmed.\n"
