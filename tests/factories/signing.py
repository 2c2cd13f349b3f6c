import factory
from factory.django import DjangoModelFactory

from sessions.signing.models import Signature
from sessions.signing.statement import Statement
from tests.factories.people import UserFactory

LINES = [[100, 300, 200, 100, 300, 300], [500, 200, 700, 210]]
STATEMENT = Statement("Overtime", (("From", "18:00"), ("Until", "20:00")), "I approve this.")


class SignatureFactory(DjangoModelFactory):
    """Drawn, under two facts of an overtime."""

    class Meta:
        model = Signature

    name = "Ebba Quarrell"
    strokes = factory.LazyFunction(lambda: [list(line) for line in LINES])
    statement = STATEMENT.as_data()
    taken_by = factory.SubFactory(UserFactory)
