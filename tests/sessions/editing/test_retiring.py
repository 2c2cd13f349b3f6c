import pytest

from sessions.clients.forms import ClientForm, PersonForm
from sessions.rooms.forms import RoomForm
from sessions.terms.forms import CardForm, TermsForm
from tests.factories import (
    CancellationTermsFactory,
    ClientFactory,
    PersonFactory,
    RateCardFactory,
    RoomFactory,
)

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("form", "factory"),
    [
        (ClientForm, ClientFactory),
        (PersonForm, PersonFactory),
        (RoomForm, RoomFactory),
        (CardForm, RateCardFactory),
        (TermsForm, CancellationTermsFactory),
    ],
)
def test_only_what_is_on_record_already_can_be_retired(form, factory):
    assert "retired" not in form().fields
    assert "retired" in form(instance=factory()).fields
