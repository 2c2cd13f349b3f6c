"""One patch list for the whole sheet: nothing that it says of a jack is contradicted by another chain."""

import random
from datetime import timedelta

import pytest

from gear.equipment.models import Category
from gear.patchbay.models import Normal, Side
from sessions.setups.models import Chain, Path, Revision
from sessions.setups.patching.actions import strike
from sessions.setups.patching.plugs import How
from tests.factories import (
    BayFactory,
    GearModelFactory,
    PartFactory,
    PatchPointFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)
from tests.sessions.recall.patched import sheet_of
from tests.sessions.recall.recorded import record
from tests.sessions.setups.building import microphone, preamplifier, stage

pytestmark = pytest.mark.django_db


class House:
    """A bay of sources A1 … over inputs B1 …, each wired to a unit; A91 to A95 are a mult."""

    def __init__(self):
        self.bay = BayFactory(name="Bay 1")
        self.part = PartFactory()
        self.session = self.new_session()
        self.points, self.units = {}, {}

    def new_session(self):
        return RecordingSessionFactory(project=self.part.song.project)

    def jack(self, place):
        row, column = place[0], int(place[1:])
        if place not in self.points:
            is_mult = column > 90
            self.points[place] = PatchPointFactory(
                bay=self.bay,
                row=row,
                column=column,
                label=f"Mult {column}" if is_mult else f"{'Out' if row == 'A' else 'In'} {column}",
                side=Side.SEND if row == "A" else Side.RETURN,
                unit=None if is_mult else self.unit(column),
                mult="1" if is_mult else "",
            )
        return self.points[place]

    def unit(self, number, category=Category.OTHER):
        if number not in self.units:
            model = GearModelFactory(category=category)
            self.units[number] = UnitFactory(asset_tag=f"U-{number:02}", model=model)
        return self.units[number]

    def normal(self, upper, lower, kind="half"):
        upper, lower = self.jack(upper), self.jack(lower)
        return Normal.objects.create(source=upper, destination=lower, kind=kind)

    def chain(self, *stages, setup=None, session=None, name="Day"):
        """Of stages (unit number, in, out) or the same with "monitor"."""
        setup = setup or SetupFactory.create(session=session or self.session, name=name)
        revision = RevisionFactory(
            chain__setup=setup, chain__part=self.part, chain__destination_input=""
        )
        for position, (number, into, out, *path) in enumerate(stages, 1):
            StageFactory(
                revision=revision,
                position=position,
                unit=self.unit(number),
                panel=None,
                patch_in=self.jack(into) if into else None,
                patch_out=self.jack(out) if out else None,
                path=Path.MONITOR_ONLY if path else Path.PRINTED,
            )
        return revision

    def sheet(self, *revisions):
        for number, revision in enumerate(revisions, 1):
            session = revision.chain.setup.session
            take = TakeFactory(part=self.part, session=session, number=number, circled=True)
            record(take, revision)
        return sheet_of(take)


@pytest.fixture
def house():
    return House()


def words(plug):
    return (
        plug.how,
        plug.number,
        [(f"{each.upper.place}-{each.lower.place}", each.chains) for each in plug.broken],
        [f"{tap.upper.place}-{tap.lower.place}" for tap in plug.taps],
    )


def wires(chain):
    found = [place.wire for place in chain.spine.places] + [chain.spine.out]
    return [plug for wire in found if wire for plug in wire.plugs]


def lot_of(sheet, number):
    return next(lot for lot in sheet.patch.lots if number in lot.chains)


def said_twice(place, clashes):
    is_mult = int(place[1:]) > 90
    return ("Mult 1 of Bay 1 would join" if is_mult else f"Bay 1 {place} ") in clashes


def contradictions(sheet):
    """What one place of the sheet says of a jack and another denies."""
    found = []
    for lot in sheet.patch.lots:
        fed = {}
        for line in lot.plugs.lines:
            link = line.plug.link
            if link.destination.jack:
                fed.setdefault(link.destination.jack.place, set()).add(link.source.key)
            for broken in line.plug.broken:
                found += [
                    (lot.chains, broken.lower.place, "broken and made")
                    for other in lot.plugs.by_normal
                    if other.plug.link.destination.jack == broken.lower
                ]
            for tap in line.plug.taps:
                found += [
                    (lot.chains, tap.lower.place, "goes on being fed and is not")
                    for other in lot.plugs.lines
                    if tap.lower in [broken.lower for broken in other.plug.broken]
                ]
        clashes = " ".join(clash.reason for clash in lot.plugs.clashes)
        found += [
            (lot.chains, place, "fed twice in silence")
            for place, sources in fed.items()
            if len(sources) > 1 and not said_twice(place, clashes)
        ]
    for chain in sheet.chains:
        lot = lot_of(sheet, chain.number)
        said = {(line.plug.link.ends): words(line.plug) for line in lot.plugs.lines}
        above = {line.plug.link.ends: words(line.plug) for line in sheet.patch.cords}
        for plug in wires(chain):
            if words(plug) != said.get(plug.link.ends, above.get(plug.link.ends)):
                found.append((chain.number, plug.link.ends, "otherwise on the wire"))
        named = [each.patched_out for each in chain.spine.places if not each.is_last]
        mults = [jack for jack in named if jack and jack.label.startswith("Mult")]
        found += [(chain.number, jack, "patched where no wire goes") for jack in mults]
    return found


def test_normal_that_another_chain_breaks_is_not_said_to_hold(house):
    """[U-1] A1 .. B2 [U-2] by the normal; [U-3] A3 == B2, beside it"""
    house.normal("A1", "B2")
    setup = SetupFactory(session=house.session)
    first = house.chain((1, None, "A1"), (2, "B2", None), setup=setup)
    second = house.chain((3, None, "A3"), (2, "B2", None), setup=setup)

    sheet = house.sheet(first, second)

    assert [plug.how for chain in sheet.chains for plug in wires(chain)] == [How.CORD] * 2
    assert contradictions(sheet) == []
    [lot] = sheet.patch.lots
    assert lot.plugs.clashes[0].reason.startswith("Bay 1 B2 In 2 is fed twice")


def test_broken_normal_names_the_chain_whose_signal_stands_there(house):
    house.normal("A4", "B3", kind="full")
    setup = SetupFactory(session=house.session)
    first = house.chain((1, None, "A1"), (3, "B3", None), setup=setup)
    second = house.chain((4, None, "A4"), (5, "B5", None), setup=setup)

    sheet = house.sheet(first, second)

    [plug] = wires(sheet.chains[0])
    assert words(plug) == (How.CORD, 1, [("A4-B3", ("chain 2",))], [])
    assert contradictions(sheet) == []


def test_half_normal_is_not_said_to_go_on_where_another_cord_breaks_it(house):
    house.normal("A2", "B2")
    setup = SetupFactory(session=house.session)
    first = house.chain((2, None, "A2"), (5, "B5", None), setup=setup)
    second = house.chain((6, None, "A6"), (12, "B2", None), setup=setup)
    house.jack("B2")

    sheet = house.sheet(first, second)

    assert [words(plug)[3] for chain in sheet.chains for plug in wires(chain)] == [[], []]
    assert contradictions(sheet) == []


def test_each_chain_has_its_own_copy_of_a_mult_that_two_name_alike(house):
    """[U-1] to the mult; a copy to [U-5], a copy to [U-6]: both chains name A91"""
    for place in ("A91", "A92", "A93", "A94"):
        house.jack(place)
    setup = SetupFactory(session=house.session)
    house.jack("A1")
    chains = [
        house.chain((1, None, "A91"), (number, f"B{number}", None), setup=setup)
        for number in (5, 6)
    ]

    sheet = house.sheet(*chains)

    [lot] = sheet.patch.lots
    [mult] = lot.plugs.mults
    assert len(mult.copies) == 2
    copies = [wires(chain)[-1].link.source.jack.place for chain in sheet.chains]
    assert len(set(copies)) == 2
    assert [wires(chain)[0].number for chain in sheet.chains] == [1, 1]
    assert [line.chains for line in sheet.patch.cords] == ["chains 1, 2", "chain 1", "chain 2"]
    assert contradictions(sheet) == []


def test_chains_of_different_sessions_do_not_clash_and_share_a_cord_s_number(house):
    house.normal("A1", "B2")
    first = house.chain((1, None, "A1"), (2, "B2", "A2"), (9, "B9", None))
    later = house.new_session()
    house.session.starts_at -= timedelta(days=3)
    house.session.save()
    second = house.chain((3, None, "A3"), (2, "B2", "A2"), (9, "B9", None), session=later)

    sheet = house.sheet(first, second)

    one, two = sheet.patch.lots
    assert (one.chains, two.chains) == ((1,), (2,))
    assert [lot.plugs.clashes for lot in (one, two)] == [(), ()]
    assert [line.plug.how for line in one.plugs.lines] == [How.CORD, How.NORMAL]
    assert [(each.plug.number, each.chains) for each in two.as_above] == [(1, "chain 2")]
    assert [line.plug.number for line in two.plugs.cords] == [2]
    assert [line.plug.number for line in sheet.patch.cords] == [1, 2]
    assert contradictions(sheet) == []


def test_cord_whose_normal_goes_on_in_one_session_only_is_said_again_in_the_other(house):
    """A2 == B5 taps the half normal A2 .. B2; days later another cord stands in B2 and ends that"""
    house.normal("A2", "B2")
    first = house.chain((2, None, "A2"), (5, "B5", None))
    house.session.starts_at -= timedelta(days=3)
    house.session.save()
    later = SetupFactory(session=house.new_session())
    second = house.chain((2, None, "A2"), (5, "B5", None), setup=later)
    third = house.chain((6, None, "A6"), (12, "B2", None), setup=later)

    sheet = house.sheet(first, second, third)

    one, two = sheet.patch.lots
    assert [len(line.plug.taps) for line in one.plugs.cords] == [1]
    assert two.as_above == ()
    assert [len(line.plug.taps) for line in two.plugs.cords] == [0, 0]
    assert contradictions(sheet) == []


def test_what_was_struck_before_the_other_was_set_up_did_not_stand_beside_it(house):
    morning = SetupFactory(session=house.session, name="Morning")
    first = house.chain((1, None, "A1"), (9, "B9", None), setup=morning)
    strike(morning)
    second = house.chain((2, None, "A2"), (9, "B9", None), name="Evening")

    sheet = house.sheet(first, second)

    assert [lot.chains for lot in sheet.patch.lots] == [(1,), (2,)]
    assert [lot.plugs.clashes for lot in sheet.patch.lots] == [(), ()]


def test_setups_that_stood_at_once_are_one_lot(house):
    first = house.chain((1, None, "A1"), (9, "B9", None), name="Morning")
    second = house.chain((2, None, "A2"), (9, "B9", None), name="Evening")

    [lot] = house.sheet(first, second).patch.lots

    assert "which are set up together" in lot.plugs.clashes[0].reason
    assert lot.where.endswith("“Morning”, “Evening”")


def test_two_revisions_of_one_chain_never_stand_at_once(house):
    """Chain 1 is patched otherwise from its second revision on; the other chain stands beside both."""
    setup = SetupFactory(session=house.session)
    first = house.chain((1, None, "A1"), (9, "B9", None), setup=setup)
    beside = house.chain((2, None, "A2"), (8, "B8", None), setup=setup)
    second = Revision.objects.create(chain=first.chain, number=2, created_by=first.created_by)
    for position, (unit, out, into) in enumerate(((1, "A1", None), (7, None, "B7")), 1):
        StageFactory(
            revision=second,
            position=position,
            unit=house.unit(unit),
            panel=None,
            patch_in=house.jack(into) if into else None,
            patch_out=house.jack(out) if out else None,
        )

    sheet = house.sheet(first, second, beside)

    assert [lot.chains for lot in sheet.patch.lots] == [(1, 3), (2, 3)]
    assert [each.plug.number for each in sheet.patch.lots[1].as_above] == [2]
    assert contradictions(sheet) == []


def test_revisions_that_are_patched_alike_stand_in_one_lot(house):
    setup = SetupFactory(session=house.session)
    first = house.chain((1, None, "A1"), (9, "B9", None), setup=setup)
    second = Revision.objects.create(chain=first.chain, number=2, created_by=first.created_by)
    for each in first.stages.all():
        each.pk, each.revision = None, second
        each.save()

    sheet = house.sheet(first, second)

    [lot] = sheet.patch.lots
    assert (lot.chains, [line.chains for line in lot.plugs.cords]) == ((1, 2), ["chains 1, 2"])


@pytest.mark.parametrize(
    ("patched", "said"),
    [
        ("normal", "returns by the normal Bay 1 A4 Out 4 → Bay 1 B8 In 8"),
        ("open", "its output Bay 1 A4 Out 4 leads nowhere that is logged"),
        ("unknown", "where its output returns is not logged"),
    ],
)
def test_effect_that_feeds_nothing_says_where_it_returns(house, patched, said):
    house.unit(4, category=Category.EFFECT)
    if patched == "normal":
        house.normal("A4", "B8")
    if patched == "open":
        house.jack("A4")
    revision = house.chain((1, None, "A1"), (9, "B9", None), (4, "B4", None, "monitor"))
    Chain.objects.filter(pk=revision.chain_id).update(destination_input="Recorder 1")
    if patched == "unknown":
        house.jack("B4")
        house.points["B4"].unit = None
        house.points["B4"].save()

    sheet = house.sheet(revision)

    [lot] = sheet.patch.lots
    assert lot.plugs.returns == (f"U-04 {said} (chain 1)",)
    assert sheet.chains[0].spine.places[2].leads == said


def test_what_is_heard_on_a_console_channel_needs_no_return(house):
    house.unit(4, category=Category.CHANNEL)
    revision = house.chain((1, None, "A1"), (4, "B4", None, "monitor"))
    Chain.objects.filter(pk=revision.chain_id).update(destination_input="Recorder 1")

    [lot] = house.sheet(revision).patch.lots

    assert lot.plugs.returns == ()


def test_cords_are_counted_by_place_and_length(house):
    revision = house.chain((1, None, "A1"), (2, "B2", "A2"), (3, "B3", "A3"), (4, "B4", None))
    lengths = {"U-01": 60, "U-02": 60}
    for each in revision.stages.all():
        each.cord_cm = lengths.get(each.unit.asset_tag)
        each.save()

    sheet = house.sheet(revision)

    assert [str(each) for each in sheet.cords] == ["2 of 60 cm at Bay 1", "1 at Bay 1"]
    assert sheet.cables == []


def test_what_several_chains_share_is_said_of_those_that_stood_together(house):
    """One channel of a unit, a mult, the cord that feeds it; a unit of another session is not shared."""
    for place in ("A91", "A92", "A93"):
        house.jack(place)
    house.jack("A1")
    setup = SetupFactory(session=house.session)
    chains = [
        house.chain((1, None, "A91"), (number, f"B{number}", None), setup=setup)
        for number in (5, 6)
    ]
    later = house.chain((1, None, "A1"), (5, "B5", None), session=house.new_session())

    shared = {each.what: each.chains for each in house.sheet(*chains, later).shared}

    assert shared == {
        "U-01": "chains 1, 2",
        "Bay 1, mult 1": "chains 1, 2",
        "cord 1": "chains 1, 2",
    }


def test_switch_of_phantom_power_that_serves_two_inputs_is_shared(house):
    pre = preamplifier(channels=8, phantom_bank=4)
    setup = SetupFactory(session=house.session)
    revisions = []
    for channel, phantom in ((1, "needed"), (3, "harmless")):
        revision = RevisionFactory(chain__setup=setup, chain__part=house.part)
        stage(revision, microphone(phantom=phantom))
        stage(revision, pre, channel=channel)
        revisions.append(revision)

    [shared] = house.sheet(*revisions).shared

    tag = pre.asset_tag
    assert shared.what == f"48 V switch of {tag}, inputs 1 to 4"
    assert (shared.words, shared.chains) == ("48 V on", "chains 1, 2")


@pytest.mark.parametrize("seed", range(6))
def test_no_sheet_contradicts_itself(house, seed):
    """Songs at random: shared jacks, half and full normals, a mult, monitor-only units, two setups of
    one session and a second session."""
    dice = random.Random(seed)
    for column in range(1, 9):
        if dice.random() < 0.7:
            house.normal(f"A{column}", f"B{column}", kind=dice.choice(["half", "full"]))
    for place in ("A91", "A92", "A93", "A94", "A95"):
        house.jack(place)
    later = house.new_session()
    setups = [
        SetupFactory(session=session, name=name)
        for session, name in ((house.session, "One"), (house.session, "Two"), (later, "Three"))
    ]
    revisions = []
    for number in range(6):
        stages = [(20 + number, None, f"A{dice.randint(1, 8)}")]
        for _ in range(dice.randint(1, 3)):
            unit = dice.randint(1, 8)
            out = dice.choice([f"A{unit}", "A91", "A92"])
            path = ["monitor"] if dice.random() < 0.3 else []
            stages.append((unit, f"B{unit}", out, *path))
        revisions.append(house.chain(*stages, setup=dice.choice(setups)))

    sheet = house.sheet(*revisions)

    assert contradictions(sheet) == []
    numbers = [line.plug.number for line in sheet.patch.cords]
    assert numbers == list(range(1, len(numbers) + 1))
