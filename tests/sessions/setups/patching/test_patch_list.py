"""The patch list of setups: which jacks their stages mean, and what stands up at the same time."""

import pytest

from gear.patchbay.models import Normal, Side, TieLine
from gear.patchbay.wiring import load_wiring
from sessions.setups.chains.actions import fix_revision
from sessions.setups.models import Path
from sessions.setups.patching.actions import strike, undo_strike
from sessions.setups.patching.patch_list import (
    NOTHING,
    newest_of_sessions,
    patching_of,
    patching_then,
    session_patching,
)
from tests.factories import (
    BayFactory,
    PatchPointFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    UnitFactory,
)
from tests.sessions.setups.building import (
    compressor,
    loaded,
    microphone,
    preamplifier,
    revision_of,
    stage,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def bay():
    return BayFactory(name="Bay 1")


def source(bay, column, unit=None, **facts):
    return PatchPointFactory(
        bay=bay, row="A", column=column, label=f"Out {column}", unit=unit, **facts
    )


def entry(bay, column, unit=None, **facts):
    facts = {
        "bay": bay,
        "row": "B",
        "column": column,
        "label": f"In {column}",
        "unit": unit,
    } | facts
    return PatchPointFactory(side=Side.RETURN, **facts)


def feeding(setup, out, into):
    """A chain of the setup in which the unit behind one jack feeds the unit behind the other."""
    revision = RevisionFactory(chain__setup=setup)
    stage(revision, wired(out), patch_out=out)
    stage(revision, wired(into), patch_in=into)
    return revision


def wired(point):
    if point.unit is None:
        point.unit = UnitFactory()
        point.save()
    return point.unit


def ends(links):
    return [(f"{link.source.jack}", f"{link.destination.jack}") for link in links]


def setup_patching(setup):
    """As the pages of its session work it out."""
    revisions = newest_of_sessions([setup.session_id])
    return session_patching(revisions, load_wiring()).get(setup.pk, NOTHING)


def reasons(setup):
    return [clash.reason for clash in setup_patching(setup).clashes]


@pytest.fixture
def two_setups():
    session = RecordingSessionFactory()
    return [SetupFactory(session=session, name=name) for name in ("Morning", "Evening")]


def test_input_fed_twice_by_two_setups_that_are_up_together(bay, two_setups):
    morning, evening = two_setups
    into = entry(bay, 9)
    feeding(morning, source(bay, 1), into)
    feeding(evening, source(bay, 2), into)

    [clash] = setup_patching(evening).clashes

    assert clash.severity == "warning"
    assert clash.reason == (
        "Bay 1 B9 In 9 is fed twice, from Bay 1 A1 Out 1 and Bay 1 A2 Out 2. "
        "That is in “Morning” and “Evening”, which are set up together."
    )
    assert clash.advice.startswith("Strike one before the other is patched.")


def test_output_used_twice_by_two_setups_with_no_mult_between(bay, two_setups):
    morning, evening = two_setups
    out = source(bay, 1)
    feeding(morning, out, entry(bay, 8))
    feeding(evening, out, entry(bay, 9))

    assert "Bay 1 A1 Out 1 would feed Bay 1 B8 In 8 and Bay 1 B9 In 9" in reasons(morning)[0]
    assert "No mult with enough jacks is free" in setup_patching(morning).clashes[0].advice


def test_nothing_clashes_with_a_setup_that_is_struck_until_it_is_up_again(bay, two_setups):
    morning, evening = two_setups
    out, into = source(bay, 1), entry(bay, 9)
    feeding(morning, source(bay, 2), into)
    feeding(morning, out, entry(bay, 8))
    feeding(evening, out, into)
    assert len(reasons(evening)) == 2

    strike(morning)
    assert (reasons(evening), reasons(morning)) == ([], [])

    undo_strike(morning)
    assert len(reasons(evening)) == 2


def test_setups_of_another_session_are_left_alone(bay):
    into = entry(bay, 9)
    for column in (1, 2):
        feeding(SetupFactory(), source(bay, column), into)

    assert reasons(SetupFactory()) == []


def test_setup_shows_its_own_cords_and_the_normals_that_others_break(bay, two_setups):
    morning, evening = two_setups
    upper, lower = source(bay, 1), entry(bay, 1)
    Normal.objects.create(source=upper, destination=lower, kind="full")
    feeding(morning, upper, entry(bay, 2))
    feeding(evening, source(bay, 3), lower)

    found = setup_patching(morning).patch_list

    assert ends(found.cords) == [("Bay 1 A1 Out 1", "Bay 1 B2 In 2")]
    [broken] = found.normals_broken
    assert [f"{chain.setup}" for cord in broken.by for chain in cord.chains] == ["Evening"]
    assert [f"{chain.setup}" for chain in broken.chains] == ["Morning"]


def test_setup_costs_the_same_queries_however_much_is_patched(
    bay, two_setups, django_assert_num_queries
):
    """The revisions, their stages (whose units have no panels here), the wiring."""
    for count in (1, 3):
        for column in range(count):
            place = 10 * count + column
            feeding(two_setups[0], source(bay, place), entry(bay, place))

        with django_assert_num_queries(7):
            setup_patching(two_setups[0])


def test_jack_that_nobody_named_is_the_only_one_that_the_unit_is_wired_to(bay):
    """[pre] wired to A1 -- [comp] wired to B7, both without a jack in the stage."""
    pre, comp = preamplifier(), compressor()
    source(bay, 1, unit=pre)
    entry(bay, 7, unit=comp)

    found = patching_of([revision_of(pre, comp)], load_wiring()).patch_list

    assert ends(found.cords) == [("Bay 1 A1 Out 1", "Bay 1 B7 In 7")]


def test_unit_wired_at_several_jacks_asks_which(bay):
    pre, comp = preamplifier(), compressor()
    source(bay, 1, unit=pre)
    entry(bay, 7, unit=comp)
    entry(bay, 8, unit=comp)

    [link] = patching_of([revision_of(pre, comp)], load_wiring()).patch_list.direct

    assert [jack.place for jack in link.destination.choices] == ["B7", "B8"]


def test_unit_at_no_bay_is_plugged_directly_though_the_next_one_is_wired(bay):
    """[mic, at no wall box] -- [pre] wired to B1: its own socket is used, not the bay's."""
    pre = preamplifier()
    entry(bay, 1, unit=pre)

    found = patching_of([revision_of(microphone(), pre)], load_wiring()).patch_list

    assert (found.cords, len(found.direct)) == ((), 1)


def test_microphone_comes_up_at_the_bay_by_the_tie_line_of_its_wall_box(bay):
    mic, pre = microphone(), preamplifier()
    line = source(bay, 2, level="microphone")
    TieLine.objects.create(room="Rope Floor", box="Box east", line=2, point=line)
    into = entry(bay, 2, unit=pre, level="microphone")
    Normal.objects.create(source=line, destination=into, kind="full")
    revision = RevisionFactory()
    stage(revision, mic, patch_out=line)
    stage(revision, pre, patch_in=into)

    found = patching_of([loaded(revision)], load_wiring()).patch_list

    [use] = found.tie_lines
    assert (use.name, use.tie_line, f"{use.jack}") == (
        f"{mic}",
        "Rope Floor, Box east 2",
        "Bay 1 A2 Out 2",
    )
    assert ends(found.by_normal) == [("Bay 1 A2 Out 2", "Bay 1 B2 In 2")]
    assert found.cords == ()


def test_what_is_monitor_only_is_fed_beside_the_recorded_path(bay):
    """[pre] A1 -- normal -- B1 [channel], and by a cord A1 -- B5 [box, monitor only]"""
    upper, lower = source(bay, 1), entry(bay, 1)
    Normal.objects.create(source=upper, destination=lower, kind="half")
    revision = RevisionFactory()
    stage(revision, UnitFactory(), patch_out=upper)
    stage(revision, UnitFactory(), patch_in=entry(bay, 5), path=Path.MONITOR_ONLY)
    stage(revision, UnitFactory(), patch_in=lower)

    found = patching_of([loaded(revision)], load_wiring())

    assert ends(found.patch_list.by_normal) == [("Bay 1 A1 Out 1", "Bay 1 B1 In 1")]
    [cord] = found.patch_list.cords
    assert cord.destination.path == "monitor only"
    assert found.clashes == ()


def test_fixed_revision_keeps_the_wiring_that_it_was_patched_by(bay):
    upper, lower = source(bay, 1), entry(bay, 1)
    normal = Normal.objects.create(source=upper, destination=lower, kind="half")
    revision = feeding(SetupFactory(), upper, lower)
    fix_revision(revision)

    normal.delete()
    upper.label = "Relabelled"
    upper.save()

    then = patching_then([loaded(revision)], load_wiring()).patch_list
    now = patching_of([loaded(revision)], load_wiring()).patch_list
    assert ends(then.by_normal) == [("Bay 1 A1 Out 1", "Bay 1 B1 In 1")]
    assert ends(now.cords) == [("Bay 1 A1 Relabelled", "Bay 1 B1 In 1")]
