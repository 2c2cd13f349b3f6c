"""The patch list goes to another house and back: plain values, no database."""

from gear.patchbay.patch_list import End, Link
from gear.patchbay.patching import patch
from gear.patchbay.wiring import Jack, NormalLink, Wiring
from sessions.recall.sheet.patch_data import patch_data, patch_list_of

ROWS = {"send": "A", "return": "B"}


def jack(pk, side, label, level="line", **facts):
    return Jack(pk, "Bay 1", ROWS[side], pk % 100, label, level, side, **facts)


WALL = jack(1, "send", "Wall 1", "microphone", tie_line="Loft, box 1 3")
PRE_IN, PRE_OUT = jack(101, "return", "Pre 1 in", "microphone"), jack(2, "send", "Pre 1 out")
COMP_IN, EQ_IN = jack(103, "return", "Comp 1 in"), jack(104, "return", "Eq 1 in")
COMP_OUT, TAPE_IN = jack(5, "send", "Comp 1 out"), jack(105, "return", "Recorder in 1")
EFFECT = jack(3, "send", "Effect out")
FEED, COPY = jack(190, "return", "Mult", mult="1"), jack(91, "send", "Mult", mult="1")
MORE = jack(92, "send", "Mult", mult="1")
WIRING = Wiring(
    (WALL, PRE_IN, PRE_OUT, COMP_IN, EQ_IN, COMP_OUT, TAPE_IN, EFFECT, FEED, COPY, MORE),
    (NormalLink(3, 103, "full"), NormalLink(5, 105, "half")),
)


def found():
    """A microphone at the wall box; the preamplifier copied to two inputs by a mult; a normal that
    is used, one that is broken; the last unit with two inputs of which nobody said which."""
    preamplifier = End("Hobweir Stile 1 (P-01)", COPY, path="printed")
    return patch(
        [
            Link(End("Skerrow A (M-01)", WALL), End("P-01", PRE_IN, path="printed"), ("voice",)),
            Link(preamplifier, End("C-01", COMP_IN, path="printed"), ("voice",)),
            Link(preamplifier, End("E-01", EQ_IN, path="monitor only"), ("voice",)),
            Link(End("C-01", COMP_OUT), End("Recorder in 1", TAPE_IN, path="printed"), ("voice",)),
            Link(End("E-01"), End("D-07", choices=(EQ_IN,), path="monitor only"), ("voice",)),
        ],
        WIRING,
    )


def test_links_stand_in_the_order_of_patching():
    links = patch_data(found())["links"]

    assert [(link["made_by"], link["cord"], link["to"]["name"]) for link in links] == [
        ("cord", 1, "P-01"),
        ("cord", 2, "Mult 1"),
        ("cord", 3, "C-01"),
        ("cord", 4, "E-01"),
        ("normal", None, "Recorder in 1"),
        ("hand", None, "D-07"),
    ]
    assert [link["path"] for link in links[3:]] == ["monitor only", "printed", "monitor only"]
    assert links[0]["from"]["jack"] == {
        "bay": "Bay 1",
        "row": "A",
        "column": 1,
        "label": "Wall 1",
        "level": "microphone",
        "side": "send",
        "mult": "",
        "tie_line": "Loft, box 1 3",
    }


def test_what_cords_break_copy_and_reach_is_there():
    data = patch_data(found())

    [broken], [mult], [line] = data["normals_broken"], data["mults"], data["tie_lines"]
    assert (broken["upper"]["label"], broken["lower"]["label"]) == ("Effect out", "Comp 1 in")
    assert (broken["kind"], broken["plugged"]) == ("full", "lower")
    assert (mult["mult"], len(mult["copies"])) == ("Bay 1, mult 1", 2)
    assert (line["tie_line"], line["name"]) == ("Loft, box 1 3", "Skerrow A (M-01)")


def test_half_normal_that_goes_on_feeding_is_there():
    cord = Link(End("C-01", COMP_OUT), End("E-01", EQ_IN, path="printed"), ("voice",))

    [tap] = patch_data(patch([cord], WIRING))["taps"]

    assert (tap["upper"]["label"], tap["lower"]["label"]) == ("Comp 1 out", "Recorder in 1")


def test_patch_list_that_is_read_back_says_the_same():
    data = patch_data(found())

    read = patch_list_of(data)

    assert patch_data(read) == data
    assert [cord.level_in_words for cord in read.cords] == ["microphone", *["line"] * 3]
    assert read.normals_broken[0].jack_in_words == "bottom jack"
    assert read.has_microphone_lines
