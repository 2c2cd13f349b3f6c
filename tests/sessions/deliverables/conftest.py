"""Somewhere for files to come in and to be kept, and the sound of a test."""

import pytest

from tests.signals import channels, noise, stereo, tone


@pytest.fixture(autouse=True)
def folders(settings, tmp_path):
    """Where files come in and where they are kept; `sources` is the sender's own folder."""
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path / "incoming"
    settings.FILE_UPLOAD_TEMP_DIR.mkdir()
    (tmp_path / "sources").mkdir()
    return tmp_path


@pytest.fixture
def source(folders):
    """`source("a.wav")` is a path in the sender's folder."""
    return lambda name: folders / "sources" / name


@pytest.fixture
def left_behind(folders):
    """Every file that is in the store or in the incoming folder at that moment."""

    def files():
        places = (folders / "files", folders / "incoming")
        return [path for place in places for path in place.rglob("*") if path.is_file()]

    return files


@pytest.fixture
def sound():
    """A second of a tone on the left and noise on the right."""
    return channels(tone(1, -20), noise(1, -30))


@pytest.fixture
def hot_sound():
    """A tone whose peaks lie between its samples: 0 dBFS of samples, 3 dB more between them."""
    return stereo(tone(1, 3, hz=12_000, degrees=45, fade_seconds=0.01) * 0.999)
