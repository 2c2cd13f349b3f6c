"""What to plug: computed lists against the state table of normals and against a tracer of signals.

The tracer follows a signal by what stands in front of it, jack by jack, and knows nothing of lists.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gear.patchbay.clashes import clashes_of
from gear.patchbay.patch_list import End, Link
from gear.patchbay.patching import patch
from gear.patchbay.wiring import Jack, NormalLink, Wiring


def jack(pk, side, *, level="line", **more):
    row = "A" if side == "send" else "B"
    return Jack(pk, "Bay 1", row, pk % 100, f"{side} {pk}", level, side, **more)


def bay(columns, kinds=()):
    """Sources 1, 2, … above inputs 101, 102, …; `kinds` are the normals of the columns."""
    sources = [jack(column, "send") for column in range(1, columns + 1)]
    inputs = [jack(100 + column, "return") for column in range(1, columns + 1)]
    normals = [
        NormalLink(column, 100 + column, kind) for column, kind in enumerate(kinds, 1) if kind
    ]
    return Wiring((*sources, *inputs), tuple(normals))


def wish(wiring, source, destination, *chains):
    ends = (wiring.by_key[key] for key in (source, destination))
    upper, lower = (End(f"unit at {each.place}", each) for each in ends)
    return Link(upper, lower, chains or ("voice",))


def keys(links):
    return [(link.source.key, link.destination.key) for link in links]


def traced(wiring, cords, input_key):
    """The sources that are heard at an input, by walking back from its jack."""
    entering = [cord for cord in cords if cord.destination.key == input_key]
    if entering:
        return {heard for cord in entering for heard in source_behind(wiring, cords, cord)}
    for normal in wiring.normals:
        if normal.destination == input_key:
            is_tapped = any(cord.source.key == normal.source for cord in cords)
            if normal.kind == "half" or not is_tapped:
                return {normal.source}
    return set()


def source_behind(wiring, cords, cord):
    source = wiring.by_key[cord.source.key]
    if not source.mult:
        return {source.pk}
    group = {j.pk for j in wiring.jacks if (j.bay, j.mult) == (source.bay, source.mult)}
    feeds = [other for other in cords if other.destination.key in group]
    return {heard for feed in feeds for heard in source_behind(wiring, cords, feed)}


@pytest.mark.parametrize(
    ("kind", "upper", "lower", "is_made"),
    [
        ("full", False, False, True),
        ("half", False, False, True),
        ("full", True, False, False),
        ("half", True, False, True),
        ("full", False, True, False),
        ("half", False, True, False),
        ("full", True, True, False),
        ("half", True, True, False),
        ("", False, False, False),
    ],
)
def test_connection_is_made_by_a_normal_as_long_as_it_holds(kind, upper, lower, is_made):
    """1 to 101 is wanted; a cord in the upper jack takes 1 to 103, one in the lower brings 2."""
    wiring = bay(3, [kind])
    wishes = [wish(wiring, 1, 101)]
    wishes += [wish(wiring, 1, 103)] if upper else []
    wishes += [wish(wiring, 2, 101)] if lower else []

    found = patch(wishes, wiring)

    assert (keys(found.by_normal) == [(1, 101)]) is is_made
    assert ((1, 101) in keys(found.cords)) is not is_made


@pytest.mark.parametrize(
    ("kind", "wishes", "broken"),
    [
        ("full", [(1, 102)], [("top jack", "full")]),
        ("half", [(1, 102)], []),
        ("full", [(2, 101)], [("bottom jack", "full")]),
        ("half", [(2, 101)], [("bottom jack", "half")]),
        ("full", [(1, 102), (2, 101)], [("bottom jack", "full")]),
        ("half", [(1, 102), (2, 101)], [("bottom jack", "half")]),
        ("", [(1, 102), (2, 101)], []),
    ],
)
def test_cord_breaks_a_normal_that_nobody_asked_for(kind, wishes, broken):
    wiring = bay(2, [kind])

    found = patch([wish(wiring, *ends) for ends in wishes], wiring)

    assert keys(found.cords) == wishes
    assert [(each.jack_in_words, each.kind_in_words) for each in found.normals_broken] == broken
    assert [(tap.upper.pk, tap.lower.pk) for tap in found.taps] == (
        [(1, 101)] if (kind, wishes) == ("half", [(1, 102)]) else []
    )


def test_broken_normal_says_which_cord_breaks_it_and_whose_signal_it_cuts():
    wiring = bay(2, ["half"])
    wishes = [wish(wiring, 1, 102, "voice"), wish(wiring, 2, 101, "fiddle")]

    [broken] = patch(wishes, wiring).normals_broken

    assert keys(broken.by) == [(2, 101)]
    assert broken.chains == ("voice",)


@given(
    kinds=st.lists(st.sampled_from(["", "half", "full"]), min_size=4, max_size=4),
    wanted=st.lists(
        st.tuples(st.integers(1, 4), st.integers(101, 104)), unique=True, min_size=1, max_size=6
    ),
)
def test_lists_agree_with_a_tracer_of_signals(kinds, wanted):
    """Without a clash every input hears its source and no other; with one, something is wrong."""
    wiring = bay(4, kinds)

    found = patch([wish(wiring, *ends) for ends in wanted], wiring)
    clashes = clashes_of(found, wiring)

    heard = {key: traced(wiring, found.cords, key) for key in range(101, 105)}
    plugs = [end.key for cord in found.cords for end in (cord.source, cord.destination)]
    is_right = all(heard[lower] == {upper} for upper, lower in wanted)
    assert (is_right and len(plugs) == len(set(plugs))) is not bool(clashes)
    assert sorted(keys(found.cords + found.by_normal)) == sorted(wanted)
    untouched = {n.destination for n in wiring.normals if heard[n.destination] != {n.source}}
    broken = {each.lower.pk for each in found.normals_broken}
    assert untouched <= broken
    if not clashes:
        assert untouched == broken


def test_without_any_normal_needed_no_cord_is_wasted():
    wiring = bay(2, ["full", "half"])

    found = patch([wish(wiring, 1, 101), wish(wiring, 2, 102)], wiring)

    assert (found.cords, found.normals_broken) == ((), ())


def mult_bay():
    """A bay of three columns with mult 1: jack 90 to feed, 91 and 92 to take copies from."""
    jacks = [jack(90, "return", mult="1"), jack(91, "send", mult="1"), jack(92, "send", mult="1")]
    plain = bay(3)
    return Wiring((*plain.jacks, jack(5, "send", unit_id=7), *jacks))


def copy(wiring, out, destination, *chains):
    return Link(
        End("Pre 5", wiring.by_key[out], 7), End("unit", wiring.by_key[destination]), chains
    )


def test_mult_is_fed_from_the_units_own_output_once():
    wiring = mult_bay()

    found = patch([copy(wiring, 91, 101, "voice"), copy(wiring, 92, 102, "room")], wiring)

    assert keys(found.cords) == [(5, 90), (91, 101), (92, 102)]
    [use] = found.mults
    assert (use.name, [j.pk for j in use.copies]) == ("Bay 1, mult 1", [91, 92])
    assert traced(wiring, found.cords, 102) == {5}
    assert clashes_of(found, wiring) == []


def test_mult_gives_each_input_a_jack_of_its_own_until_none_is_left():
    wiring = mult_bay()
    two = [copy(wiring, 91, 101, "voice"), copy(wiring, 91, 102, "room")]

    found = patch([*two, copy(wiring, 91, 101, "harmony")], wiring)
    [clash] = clashes_of(patch([*two, copy(wiring, 91, 103, "wide")], wiring), wiring)

    assert keys(found.cords) == [(5, 90), (91, 101), (92, 102)]
    assert found.cords[1].chains == ("voice", "harmony")
    assert "Mult 1 has no jack left" in clash.advice


def test_mult_never_joins_two_sources():
    wiring = mult_bay()
    other = Link(End("Pre 1", wiring.by_key[92], 8), End("unit", wiring.by_key[102]), ("room",))

    reasons = [c.reason for c in clashes_of(patch([copy(wiring, 91, 101), other], wiring), wiring)]

    assert "Mult 1 of Bay 1 would join Bay 1 A5 send 5 and Pre 1." in reasons


def test_mult_that_is_fed_and_gives_no_copy_ends_nowhere():
    """[unit 1] -- [unit 2, entered as plugged into the mult's first jack]"""
    wiring = mult_bay()

    [clash] = clashes_of(patch([wish(wiring, 1, 90)], wiring), wiring)

    assert (clash.severity, clash.reason.split(",")[0]) == ("caution", "Bay 1")


def test_output_used_twice_is_sent_to_a_mult_that_is_free():
    wiring = mult_bay()

    [clash] = clashes_of(patch([wish(wiring, 1, 101), wish(wiring, 1, 102)], wiring), wiring)

    assert clash.reason == (
        "Bay 1 A1 send 1 would feed Bay 1 B1 return 101 and Bay 1 B2 return 102, "
        "and a jack takes one plug."
    )
    assert "Mult 1 of Bay 1 is free: patch this unit out at A91 instead" in clash.advice


def test_copy_by_a_half_normal_needs_no_mult():
    wiring = bay(2, ["half"])

    found = patch([wish(wiring, 1, 101), wish(wiring, 1, 102)], wiring)

    assert (keys(found.by_normal), keys(found.cords)) == ([(1, 101)], [(1, 102)])
    assert clashes_of(found, wiring) == []


def test_input_fed_twice_names_both_sources_and_all_chains():
    wiring = bay(2)

    found = patch([wish(wiring, 1, 101, "voice"), wish(wiring, 2, 101, "room")], wiring)
    [clash] = clashes_of(found, wiring)

    assert clash.severity == "warning"
    assert clash.reason == (
        "Bay 1 B1 return 101 is fed twice, from Bay 1 A1 send 1 and Bay 1 A2 send 2."
    )
    assert clash.chains == ("voice", "room")


def test_same_cord_for_two_chains_is_one_cord():
    wiring = bay(1)

    [cord] = patch([wish(wiring, 1, 101, "voice"), wish(wiring, 1, 101, "harmony")], wiring).cords

    assert cord.chains == ("voice", "harmony")


@pytest.mark.parametrize(
    ("source", "destination", "said"),
    [
        (jack(1, "send", level="speaker"), jack(101, "return"), "joins speaker to line level"),
        (jack(1, "send"), jack(101, "return", level="digital"), "joins line to digital level"),
        (jack(1, "return"), jack(101, "return"), "is an input, but entered as an output"),
        (jack(1, "send"), jack(101, "send"), "is a source, but entered as an input"),
        (jack(1, "send", unit_id=4), jack(101, "return"), "is wired to another unit than Pre 1"),
    ],
)
def test_cord_that_must_not_be_is_a_clash(source, destination, said):
    wiring = Wiring((source, destination))
    wishes = [Link(End("Pre 1", source, 3), End("Comp", destination), ("voice",))]

    [clash] = clashes_of(patch(wishes, wiring), wiring)

    assert said in clash.reason
    assert clash.advice


def test_two_microphones_on_one_line_clash():
    line = jack(1, "send", level="microphone", tie_line="Loft, box 1")
    wiring = Wiring((line, jack(101, "return", level="microphone")), (NormalLink(1, 101, "full"),))
    wishes = [
        Link(End(name, line), End("Pre", wiring.by_key[101]), (name,)) for name in ("M-1", "M-2")
    ]

    found = patch(wishes, wiring)
    [clash] = clashes_of(found, wiring)

    assert [(use.tie_line, use.name) for use in found.tie_lines] == [
        ("Loft, box 1", "M-1"),
        ("Loft, box 1", "M-2"),
    ]
    assert clash.reason == "Loft, box 1 (Bay 1 A1 send 1) is used for M-1 and M-2."


def test_microphone_lines_are_patched_first():
    """The order from source to track holds among the others."""
    mic = jack(9, "send", level="microphone")
    plain = bay(3)
    wiring = Wiring((*plain.jacks, mic))
    wishes = [wish(wiring, 2, 102), wish(wiring, 1, 101), wish(wiring, 9, 103)]

    found = patch(wishes, wiring)

    assert keys(found.cords) == [(9, 103), (2, 102), (1, 101)]
    assert found.has_microphone_lines


def test_what_is_at_no_bay_is_plugged_directly():
    found = patch([Link(End("Microphone"), End("Supply"), ("voice",))], bay(1))

    assert keys(found.direct) == [("Microphone", "Supply")]
    assert not found.is_at_bay


def test_wiring_is_kept_with_partners_and_mults_and_read_back():
    wiring = bay(3, ["half", "full"])
    mult = (jack(90, "return", mult="1"), jack(91, "send", mult="1"))
    wiring = Wiring((*wiring.jacks, *mult, jack(8, "send", unit_id=3)), wiring.normals)

    part = wiring.about([1, 91], [3])

    assert {each.pk for each in part.jacks} == {1, 101, 90, 91, 8}
    assert part.normals == (NormalLink(1, 101, "half"),)
    assert Wiring.from_json(part.to_json()) == part


def test_wiring_as_it_was_it_was_goes_before_todays():
    """Column 1 was half-normalled then; today it is open, and column 2 is full."""
    then = bay(1, ["half"])
    today = bay(2, ["", "full"])

    wiring = today.as_it_was([then.to_json(), {}])

    assert set(wiring.normals) == {NormalLink(1, 101, "half"), NormalLink(2, 102, "full")}
    assert bay(1, ["full"]).as_it_was([bay(1).to_json()]).normals == ()


def test_unit_that_was_wired_to_a_bay_since_stood_beside_it_then():
    today = Wiring((jack(1, "send", unit_id=3),))

    assert today.as_it_was([Wiring().to_json()]).of_unit(3, "send") == ()
