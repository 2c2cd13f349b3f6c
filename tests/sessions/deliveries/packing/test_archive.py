"""The archive by itself: its length, its bytes, its memory, and names that every system takes."""

import io
import tracemalloc
import zipfile
from datetime import datetime
from hashlib import sha256

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sessions.deliveries.packing.archive import Entry, WrongLength, zip_length, zip_stream
from sessions.deliveries.packing.names import MOST_BYTES, Names, safe_name

AT = datetime(2026, 11, 28, 18, 30)


def entry(path, content):
    return Entry(path, len(content), sha256(content).hexdigest(), lambda: [content])


def packed(entries):
    return b"".join(zip_stream(entries, at=AT))


@pytest.mark.parametrize("limit", [zipfile.ZIP64_LIMIT, 1000, 400, 100, 10])
def test_length_is_known_before_also_where_zip64_is_wanted(monkeypatch, limit):
    """With a limit of a few bytes in place of 2 GiB, for files and for places in the archive."""
    entries = [entry("a/Strophe.wav", b"s" * 500), entry("a/Küste.wav", b"k" * 96), entry("b", b"")]
    monkeypatch.setattr(zipfile, "ZIP64_LIMIT", limit)

    archive = packed(entries)

    assert len(archive) == zip_length(entries)
    with zipfile.ZipFile(io.BytesIO(archive)) as read:
        assert read.testzip() is None
        assert read.namelist() == ["a/Strophe.wav", "a/Küste.wav", "b"]
        assert read.read("a/Strophe.wav") == b"s" * 500
        assert {each.date_time for each in read.infolist()} == {AT.timetuple()[:6]}


def test_memory_is_flat_however_long_a_file_is():
    block, count = bytes(1 << 18), 256  # 64 MiB
    size = len(block) * count
    long = Entry("long.wav", size, "", lambda: (block for _ in range(count)))

    tracemalloc.start()
    sent = sum(map(len, zip_stream([long], at=AT)))
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()

    assert sent == zip_length([long])
    assert most < 8 * len(block)


def test_file_that_is_not_as_long_as_it_was_is_no_whole_archive():
    short = Entry("short.wav", 10, "", lambda: [b"123"])

    with pytest.raises(WrongLength):
        packed([short])


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("Neap and Spring.wav", "Neap and Spring.wav"),
        ("../../etc/passwd", "_._etc_passwd"),
        ("a\x00b\r\nc.wav", "abc.wav"),
        ("mix\u202evaw.exe", "mixvaw.exe"),
        ('Is it <"2|3">?*.wav', "Is it __2_3____.wav"),
        ("con.wav", "_con.wav"),
        ("LPT1", "_LPT1"),
        ("mix. . ", "mix"),
        ("\u200f", "unnamed"),
        ("Cafe\u0301.wav", "Café.wav"),
    ],
)
def test_name_is_made_safe(name, safe):
    assert safe_name(name) == safe


@settings(max_examples=15)
@given(st.lists(st.text(max_size=250), max_size=4))
def test_every_name_is_safe_and_alone(names):
    given = Names()
    found = [given.of(name) for name in names]

    assert len({path.casefold() for path in found}) == len(names)
    for path in found:
        assert path.isprintable()
        assert safe_name(path) == path or len(path.encode()) > MOST_BYTES
        assert len(path.encode()) <= MOST_BYTES + 10
