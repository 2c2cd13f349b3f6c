"""What is written by the published layouts is read back as it was written."""

import struct

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.sessions.takes.files.written import FRAMES, bext, fmt, ixml, read, rf64, wav
from tests.signals import chunk

WORDS = st.text(st.characters(min_codepoint=33, max_codepoint=126), max_size=20)
SAMPLES = st.integers(0, 24 * 60 * 60 * 192_000)


@settings(max_examples=25)
@given(WORDS, WORDS, WORDS, st.dates(), st.times(), SAMPLES)
def test_bext_is_read_back_as_it_was_written(description, originator, reference, day, at, samples):
    written = {
        "description": description,
        "originator": originator,
        "originator_reference": reference,
        "origination_date": day.isoformat(),
        "origination_time": f"{at:%H-%M-%S}",
        "time_reference": samples,
        "coding_history": "A=PCM,F=48000,W=24,M=mono\r\n",
    }
    note = bext(
        description=description,
        originator=originator,
        reference=reference,
        date=written["origination_date"],
        time=written["origination_time"],
        samples=samples,
        loudness=(-2300, 850, -100, 30, 0x7FFF),
        history=written["coding_history"],
    )

    assert read(wav(note)).bext == written
    assert read(rf64(note, kind=b"BW64")).bext == written


@settings(max_examples=25)
@given(WORDS, WORDS, st.integers(1, 9999), st.booleans(), SAMPLES, st.lists(WORDS, max_size=8))
def test_ixml_is_read_back_as_it_was_written(project, note, take, circled, samples, tracks):
    chunk_written = ixml(
        PROJECT=project,
        SCENE="Reel 2",
        TAPE="2026-06-01",
        TAKE=str(take),
        NOTE=note,
        CIRCLED=str(circled).upper(),
        TAKE_TYPE="FALSE_START,PICKUP",
        tracks=tuple(tracks),
        stamp=(samples, 96_000),
    )

    assert read(wav(after=chunk_written)).ixml == {
        "project": project,
        "scene": "Reel 2",
        "tape": "2026-06-01",
        "take": str(take),
        "note": note,
        "circled": circled,
        "take_type": "FALSE_START,PICKUP",
        "track_names": tracks,
        "origination_date": "",
        "origination_time": "",
        "time_reference": samples,
        "time_reference_rate": 96_000,
        "is_whole": True,
    }


def test_worked_example_of_the_ixml_specification_is_1001_seconds():
    found = read(wav(ixml(stamp=(48_048_000, 48_000)))).ixml

    assert found["time_reference"] / found["time_reference_rate"] == 1001


def test_time_stamp_where_only_the_copy_of_bext_in_ixml_has_it():
    """23:59:59 at 192 kHz needs the high word."""
    note = ixml(
        BWF_ORIGINATION_DATE="2026-06-01",
        BWF_ORIGINATION_TIME="23:59:59",
        BWF_TIME_REFERENCE_HIGH="3",
        BWF_TIME_REFERENCE_LOW="3703706112",
    )

    found = read(wav(note)).ixml

    assert found["time_reference"] == 16_588_608_000
    assert (found["origination_date"], found["origination_time"]) == ("2026-06-01", "23:59:59")


def test_sample_rate_depth_channels_and_length():
    facts = read(wav(form=fmt(rate=96_000, bits=24, channels=1)))

    assert (facts.kind, facts.sample_rate, facts.bit_depth, facts.channels) == (
        "wav",
        96_000,
        24,
        1,
    )
    assert facts.frames == FRAMES
    assert facts.problems == []


def test_rf64_has_its_length_in_ds64_and_notes_behind_the_sound():
    facts = read(rf64(after=ixml(TAKE="7")))

    assert (facts.kind, facts.frames, facts.ixml["take"]) == ("rf64", FRAMES, "7")


@pytest.mark.parametrize("content", [b"", b"ID3 and more of a song", b"RIFF\0\0\0\0AVI LIST"])
def test_what_is_no_wav_file_has_no_kind(content):
    assert read(content).kind == ""


def test_damaged_bext_leaves_the_rest_alone():
    facts = read(wav(chunk(b"bext", b"short"), ixml(TAKE="7")))

    assert (facts.bext, facts.ixml["take"], facts.frames) == (None, "7", FRAMES)
    assert facts.problems == ["The bext chunk is damaged and was left out."]


def test_ixml_that_breaks_off_is_said_and_leaves_the_rest_alone():
    whole = ixml(TAKE="7", NOTE="second verse only")[8:].rstrip(b"\0")
    facts = read(wav(bext(description="Neap"), chunk(b"iXML", whole[:-25])))

    assert (facts.bext["description"], facts.ixml["take"]) == ("Neap", "7")
    assert facts.problems == ["The iXML chunk is damaged: only part of it was read."]


def test_length_of_more_than_a_file_can_have_leads_nowhere():
    content = rf64(bext(description="Neap"))
    sizes = content.index(b"ds64") + 16

    facts = read(content[:sizes] + b"\xff" * 8 + content[sizes + 8 :])

    assert facts.bext["description"] == "Neap"
    assert facts.problems == [
        "The file is shorter than its header says: it was cut short, copy it again."
    ]


def test_damaged_format_leaves_the_notes_alone():
    facts = read(wav(bext(description="Neap"), form=chunk(b"fmt ", bytes(16))))

    assert (facts.bext["description"], facts.sample_rate, facts.frames) == ("Neap", None, None)
    assert facts.problems == ["The fmt chunk is damaged: sample rate and length are not known."]


def test_file_that_was_cut_short_is_said():
    facts = read(wav(bext(description="Neap"))[:-300])

    assert facts.bext["description"] == "Neap"
    assert facts.problems == [
        "The file is shorter than its header says: it was cut short, copy it again."
    ]


def test_entities_of_an_ixml_chunk_reach_nothing_outside(tmp_path):
    secret = tmp_path / "secret"
    secret.write_text("moored")
    text = (
        f'<!DOCTYPE BWFXML [<!ENTITY out SYSTEM "file://{secret}">]>'
        "<BWFXML><TAKE>7</TAKE><NOTE>&out;</NOTE></BWFXML>"
    )

    facts = read(wav(chunk(b"iXML", text.encode())))

    assert "moored" not in str(facts)


def test_chunk_that_claims_more_than_a_header_holds_is_left_out():
    huge = b"iXML" + struct.pack("<I", (1 << 20) + 2) + b" " * ((1 << 20) + 2)

    facts = read(wav(bext(description="Neap"), huge))

    assert (facts.bext["description"], facts.ixml) == ("Neap", None)
    assert facts.problems == ["The iXML chunk is damaged and was left out."]
