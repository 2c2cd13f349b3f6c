"""Who acted stands in the history, also where no web request says so."""

import importlib
import inspect
import pkgutil

import pytest
from simple_history.utils import bulk_create_with_history, bulk_update_with_history

import gear
import sessions
from gear.acting import action
from gear.equipment.models import Unit
from tests.factories import UnitFactory

# Parts of verbs, which are called inside their transactions.
PARTS = {
    "gear.acting.acting",
    "sessions.bookings.actions.arranging.arrange",
    "sessions.bookings.stand_ins.giving_up.give_up",
    "sessions.bookings.telling.planning.plan",
    "sessions.bookings.telling.scope.drafts_of",
    "sessions.bookings.telling.scope.tell",
    "sessions.bookings.telling.scope.telling",
    "sessions.bookings.telling.writing.drafts_for",
    "sessions.bookings.telling.writing.write",
    "sessions.deliverables.mixes.actions.point_to_newest",
    "sessions.deliveries.letters.invite",
    "sessions.deliveries.letters.tell_withdrawn",
    "sessions.desk.calendar_import.importing.try_import",
    "sessions.desk.merging.pointing.move_all",
    "sessions.letters.outbox.post",
    "sessions.setups.chains.actions.pairs.set_alike",
    "sessions.setups.chains.actions.revisions.claim_newest",
    "sessions.setups.chains.actions.revisions.claim_revision",
    "sessions.setups.chains.actions.revisions.copy_revision",
    "sessions.setups.chains.actions.stages.claim_stage",
    "sessions.signing.models.sign",
}
# Verbs that do slow work first and leave the record to one that is an action.
SLOW = {
    "sessions.deliverables.actions.hand_in",
    "sessions.deliverables.actions.take_in",
    "sessions.desk.summary.letter.send_summary",
    "sessions.setups.photos.actions.take_photo",
    "sessions.recall.proving.actions.take_return",
    "sessions.takes.files.actions.add_files",
}


def done_by_somebody():
    """Every public function of ours that says who does it: whether it is an action, by its name."""
    made = action(lambda *, by: None).__code__
    for package in (gear, sessions):
        for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            for name, function in vars(importlib.import_module(found.name)).items():
                if not inspect.isfunction(function) or function.__module__ != found.name:
                    continue
                if "by" in inspect.signature(function).parameters and not name.startswith("_"):
                    yield f"{found.name}.{name}", function.__code__ == made


def test_whatever_is_done_by_somebody_is_an_action():
    found = dict(done_by_somebody())

    assert {name for name, is_action in found.items() if not is_action} == PARTS | SLOW


@action
def make(tag, *, by):
    return Unit.objects.create(asset_tag=tag, model=UnitFactory().model)


@action
def label(unit, *, by):
    unit.note = "Labelled"
    unit.save()


@action
def discard(unit, *, by):
    unit.delete()


@action
def make_many(tags, *, by):
    model = UnitFactory().model
    return bulk_create_with_history([Unit(asset_tag=tag, model=model) for tag in tags], Unit)


@action
def label_many(units, *, by):
    bulk_update_with_history(units, Unit, ["note"])


@action
def label_by_the_clock(unit, *, by):
    label(unit, by=None)
    label(unit, by=by)
    unit.save()


def who_changed(tag):
    """The oldest first."""
    return [
        entry.history_user for entry in Unit.history.filter(asset_tag=tag).order_by("history_id")
    ]


@pytest.mark.django_db
def test_history_names_who_acted(engineer, assistant):
    unit = make("QS-1", by=engineer)
    label(unit, by=assistant)
    discard(unit, by=engineer)

    assert who_changed("QS-1") == [engineer, assistant, engineer]


@pytest.mark.django_db
def test_history_of_many_names_who_acted(engineer, assistant):
    label_many(make_many(["QS-1", "QS-2"], by=engineer), by=assistant)

    assert who_changed("QS-1") == who_changed("QS-2") == [engineer, assistant]


@pytest.mark.django_db
def test_action_within_an_action_names_its_own_and_what_follows_the_outer(engineer):
    unit = make("QS-1", by=engineer)

    label_by_the_clock(unit, by=engineer)

    assert who_changed("QS-1") == [engineer, None, engineer, engineer]


@pytest.mark.django_db
def test_save_outside_an_action_names_nobody(engineer):
    unit = make("QS-1", by=engineer)

    unit.save()

    assert who_changed("QS-1") == [engineer, None]


@pytest.mark.django_db
def test_action_that_fails_leaves_nothing_and_acts_no_more(engineer):
    unit = make("QS-1", by=engineer)

    @action
    def fail(*, by):
        unit.save()
        raise LookupError

    with pytest.raises(LookupError):
        fail(by=engineer)
    unit.save()

    assert who_changed("QS-1") == [engineer, None]
