import pytest

from tests.spelling import misspelt


@pytest.mark.parametrize(
    ("words", "wrong"),
    [
        ("Fri 27 Nov 2026, 09:30 to 18:00; today is Friday 27 November 2026", []),
        ("Week 48: 23 to 29 November 2026, in November 2026", []),
        ("made on 27 Nov 2026", ["on 27 Nov 2026"]),
        ("by 27 November 2026, or 27/11/2026", ["by 27 November 2026", "27/11/2026"]),
        ("0 dBFS is +18.0 dBu; the peak is −3.2 dBTP", []),
        ("+4 dBu and −18.25 dBFS", ["+4 dBu", "−18.25 dBFS"]),
        ("-3 dB at 80 Hz, on P-01, 3-5 m apart", ["-3 dB"]),
        ("the engineer’s copy, the client's copy", ["client's"]),
    ],
)
def test_what_is_written_otherwise_is_found(words, wrong):
    assert misspelt(words) == wrong
