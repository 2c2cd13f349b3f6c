import pytest

from gear.editing.versions import EditedMeanwhile
from sessions.setups.chains.actions import (
    Seen,
    fix_revision,
    move_stage,
    open_revision,
    remove_stage,
)
from sessions.setups.editor.actions import (
    FieldEditedMeanwhile,
    StageTakenOut,
    Typed,
    set_field,
    set_stages,
)
from sessions.setups.editor.keys import stage_keys
from sessions.setups.models import Stage
from tests.factories import PatchPointFactory
from tests.sessions.setups.building import compressor, loaded, microphone, preamplifier, revision_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def revision():
    """Microphone → preamplifier (gain 35 dB) → compressor."""
    revision = revision_of(microphone(), preamplifier(), compressor())
    Stage.objects.filter(revision=revision, position=2).update(settings={"gain": 35})
    return loaded(revision)


def key_at(revision, position):
    return next(
        key for key, each in stage_keys(revision.stages.all()).items() if each.position == position
    )


def set_gain(revision, value, *, was, by):
    return set_field(
        revision.chain,
        key=key_at(revision, 2),
        name="control-gain",
        was=was,
        value=value,
        by=by,
    )


def gain_of(revision):
    return revision.stages.get(position=2).settings.get("gain")


def facts_of(stage, **more):
    return {
        "path": stage.path,
        "patch_in": None,
        "patch_out": None,
        "note": stage.note,
        "settings": dict(stage.settings),
    } | more


def test_field_is_set_in_place_and_its_history_says_by_whom(revision, engineer):
    saved = set_gain(revision, 40, was=35, by=engineer)

    assert (saved.pk, gain_of(saved), saved.version) == (revision.pk, 40, revision.version + 1)
    assert saved.stages.get(position=2).history.latest().history_user == engineer


def test_same_value_counts_as_no_edit(revision, engineer):
    assert set_gain(revision, 35, was=35, by=engineer).version == revision.version


def test_emptied_field_is_not_logged_any_more(revision, engineer):
    saved = set_gain(revision, None, was=35, by=engineer)

    assert gain_of(saved) is None


def test_path_patch_point_and_note_are_fields_too(revision, engineer):
    point, key = PatchPointFactory(), key_at(revision, 3)
    for name, was, value in [
        ("path", "printed", "monitor"),
        ("patch_in", None, point),
        ("note", "", "left side"),
    ]:
        set_field(revision.chain, key=key, name=name, was=was, value=value, by=engineer)

    stage = revision.stages.get(position=3)
    assert (stage.path, stage.patch_in, stage.note) == ("monitor", point, "left side")


def test_field_of_a_fixed_revision_is_set_in_the_next_one(revision, engineer):
    fix_revision(revision)

    saved = set_gain(revision, 40, was=35, by=engineer)

    assert (saved.number, gain_of(saved), gain_of(revision)) == (2, 40, 35)


def test_value_that_somebody_else_saved_is_not_overwritten(revision, engineer, assistant):
    set_gain(revision, 40, was=35, by=assistant)

    with pytest.raises(FieldEditedMeanwhile) as refusal:
        set_gain(revision, 50, was=35, by=engineer)

    assert refusal.value.stage.settings == {"gain": 40}
    assert gain_of(revision) == 40


def test_two_editors_of_different_fields_do_not_hinder_each_other(revision, engineer, assistant):
    set_gain(revision, 40, was=35, by=assistant)

    set_field(
        revision.chain,
        key=key_at(revision, 3),
        name="control-ratio",
        was=None,
        value=4,
        by=engineer,
    )

    settings = [stage.settings for stage in revision.stages.all().order_by("position")]
    assert settings == [{}, {"gain": 40}, {"ratio": 4}]


def test_stage_is_found_after_it_was_moved(revision, engineer, assistant):
    key = key_at(revision, 2)
    move_stage(
        revision.stages.get(position=2), seen=Seen.of(revision), by=assistant, towards_source=True
    )

    set_field(revision.chain, key=key, name="control-gain", was=35, value=40, by=engineer)

    assert revision.stages.get(position=1).settings == {"gain": 40}


def test_stage_that_was_taken_out_takes_no_value(revision, engineer, assistant):
    key = key_at(revision, 2)
    remove_stage(revision.stages.get(position=2), seen=Seen.of(revision), by=assistant)

    with pytest.raises(StageTakenOut):
        set_field(revision.chain, key=key, name="control-gain", was=35, value=40, by=engineer)


def test_unit_that_stands_in_the_chain_twice_has_two_keys(revision):
    pre = revision.stages.get(position=2).unit
    Stage.objects.create(revision=revision, position=4, unit=pre)

    assert [key_at(loaded(revision), place) for place in (2, 4)] == [f"{pre.pk}", f"{pre.pk}x2"]


def test_all_that_was_typed_for_several_chains_is_saved_at_once(revision, engineer):
    other = revision_of(preamplifier())
    typed = [
        Typed(
            each.chain,
            Seen.of(each),
            {key_at(each, place): facts_of(each.stages.get(position=place), settings={"gain": 42})},
        )
        for each, place in ((revision, 2), (other, 1))
    ]

    set_stages(typed, by=engineer)

    assert (gain_of(revision), other.stages.get().settings) == (42, {"gain": 42})
    assert Stage.history.filter(revision=other).latest().history_user == engineer


def test_nothing_is_saved_where_one_chain_was_edited_meanwhile(revision, engineer, assistant):
    other = revision_of(preamplifier())
    typed = [
        Typed(
            each.chain,
            Seen.of(each),
            {key_at(each, place): facts_of(each.stages.get(position=place), settings={"gain": 42})},
        )
        for each, place in ((revision, 2), (other, 1))
    ]
    set_field(other.chain, key=key_at(other, 1), name="note", was="", value="spare", by=assistant)

    with pytest.raises(EditedMeanwhile):
        set_stages(typed, by=engineer)

    assert (gain_of(revision), other.stages.get().settings) == (35, {})


def test_unchanged_stages_make_no_revision(revision, engineer):
    fix_revision(revision)
    stage = revision.stages.get(position=2)

    set_stages(
        [Typed(revision.chain, Seen.of(revision), {key_at(revision, 2): facts_of(stage)})],
        by=engineer,
    )

    assert open_revision(revision.chain, by=engineer).number == 2  # only now
