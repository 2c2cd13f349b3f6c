import pytest

from gear.audio.patchbay import Normal, signal_at_return


def test_signal_at_return_refuses_an_unknown_normal():
    with pytest.raises(ValueError, match="quarter"):
        signal_at_return("quarter", False, False)


@pytest.mark.parametrize("normal", Normal)
def test_signal_at_return_takes_the_stored_word(normal):
    assert signal_at_return(str(normal), False, True) is signal_at_return(normal, False, True)
