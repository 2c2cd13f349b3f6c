"""What has its changes noted, and where they are told."""

import pytest
from django.apps import apps
from django.urls import reverse

from gear.editing.history import history_models
from sessions.rooms.models import HouseRules, Studio
from sessions.terms.agreements.models import Agreement
from studio.changes.entries import ONCE, noted_of, recorded
from studio.changes.kinds import KINDS
from studio.changes.reading import changes
from studio.roles import Role
from tests.factories import ProjectFactory, UserFactory
from tests.studio.every_page import rows_of

#: Of these no changes are noted, and why.
LEFT_OUT = {
    # Written once by the machine, and never changed by anybody.
    "StatusStep": "is itself the list of what a session came to; the session’s history says the same",
    "OrderSignature": "ties a signature, which is told of, to a paper",
    "InvoiceLine": "is issued with its invoice, and never changes",
    "DeliveredItem": "is sent with its delivery, and never changes",
    "DeliveryRecipient": "is sent to with its delivery, and never changes",
    "TakeRevision": "is written with its take, or by who settles a doubt, which the take’s history says",
    "RevisionInDoubt": "stands until somebody settles it",
    "MixSnapshot": "is what performers heard at a take, and never changes",
    "TakePress": "is itself the list of presses of a take; what they changed, the take’s history says",
    # Made of other rows, and made anew at any time.
    "LightCopy": "is made of a file",
    "StoredPaper": "is made of what it prints",
    "SearchText": "is made of what it finds",
    "Told": "is made of the last letter",
    "LetterTopic": "goes with its letter",
    "LetterFile": "goes with its letter",
    # Of the machine, and nothing of the studio’s work.
    "Upload": "is a file on its way in",
    "Press": "is one press of a button",
    "WrongGuess": "is counted against who guesses at addresses",
    "Worker": "is a process that runs",
    "KnownDevice": "lets somebody in who signed in there before",
    "SignedIn": "is a web session, and ends",
    "Backup": "is itself the list of backups",
}
#: Noted, but on no page of its own: a page says who issued or wrote it, and it never changes.
ON_CHANGES_ONLY = {
    "Erasure",
    "Allocation",
    "Invoice",
    "Letter",
    "MoneyPaper",
    "NullTest",
    "Payment",
    "Signature",
}
OURS = {"studio", "gear", "studio_sessions"}


def test_every_model_has_its_changes_noted_or_a_reason_why_not():
    ours = {model for model in apps.get_models() if model._meta.app_label in OURS}
    ours -= {*history_models(), *recorded()}

    assert {model.__name__ for model in ours} == set(LEFT_OUT)


def test_all_that_is_noted_is_told_on_a_page():
    told = {kind.model for kind in KINDS.values() if kind.itself}
    told |= {part.model for kind in KINDS.values() for part in kind.parts if part.told}

    assert {model.__name__ for model in {*recorded()} - told} == ON_CHANGES_ONLY
    assert told <= {*recorded()}


def test_what_is_its_own_record_has_no_history_beside():
    assert not [model for model in ONCE if hasattr(model, "history")]


#: A row of what each kind is about.
ROWS = {name: name for name in KINDS} | {
    "comp": "part",
    "takes": "session",
    "setups": "session",
    "headphones": "headphone mix",
    "recipients": "project",
    "media": "project",
    "mix": "mix setup",
    "imported": "imported sheet",
    "rates": "card",
    "gear-set": "gear set",
    "sign-in": "user",
}


@pytest.fixture
def rows(db):
    project = ProjectFactory()
    rows = rows_of(project)
    return rows | {
        "studio": Studio.objects.get(),
        "house-rules": HouseRules.objects.get_or_create(pk=1)[0],
        "agreed": Agreement.objects.create(),
    }


@pytest.mark.parametrize("role", Role)
def test_page_of_a_thing_unfolds_its_changes_which_open_to_whom_it_opens(client_of, rows, role):
    user = UserFactory(role=role)
    mine = rows | {"feeds": user}
    client, wrong = client_of(user), {}
    for name, kind in KINDS.items():
        thing = mine[ROWS[name]]
        address = reverse("changes:of", args=[name, thing.pk])
        page = client.get(kind.address(thing.pk), follow=True)
        answer = client.get(address)
        unfolds = f'hx-get="{address}"' in page.text
        if (answer.status_code, unfolds) != (page.status_code, page.status_code == 200):
            wrong[name] = (page.status_code, answer.status_code, unfolds)

    assert wrong == {}


def test_feeds_of_somebody_else_are_not_there(client_of, engineer, manager):
    address = reverse("changes:of", args=["feeds", manager.pk])

    assert client_of(engineer).get(address).status_code == 404


def test_kind_that_is_none_is_not_there(client_of, manager):
    assert client_of(manager).get("/changes/nothing/1/").status_code == 404


def test_every_thing_is_named_without_further_queries(rows, manager, django_assert_max_num_queries):
    """Of everything that there is, in one go: what is named costs one query for each kind of thing."""
    noted = [noted_of(model) for model in recorded()]
    manager.has_perm("studio_sessions.see_money")

    with django_assert_max_num_queries(3 * len(noted)):
        told, _ = changes(noted, manager, limit=2000)

    assert len(told) > 60
    nameless = {each.kind for each in told if not each.name}
    assert nameless <= {"placement", "house rules"}
    assert not [each for each in told if "<" in each.in_words or "None" in each.in_words]
