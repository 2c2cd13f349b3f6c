"""Folders of the server: only below those that a setting allows, and no link is followed."""

import os

import pytest

from sessions.takes.files.folders import FolderRefused, read_folder
from tests.sessions.takes.files.written import ixml, wav


@pytest.fixture
def root(settings, tmp_path):
    root = tmp_path / "recordings"
    root.mkdir()
    settings.TAKE_FOLDERS = [str(root)]
    return root


def test_wav_files_of_a_folder_and_those_below_it(root):
    (root / "band day" / "reel 2").mkdir(parents=True)
    (root / "band day" / "b.WAV").write_bytes(wav(ixml(TAKE="7")))
    (root / "band day" / "reel 2" / "a.bwf").write_bytes(wav())
    (root / "band day" / "notes.txt").write_text("not sound")
    (root / "elsewhere.wav").write_bytes(wav())

    read = read_folder(str(root), "band day")

    assert [file.path for file in read.files] == ["band day/b.WAV", "band day/reel 2/a.bwf"]
    assert b"<TAKE>7</TAKE>" in read.files[0].header
    assert read.files[0].size == (root / "band day" / "b.WAV").stat().st_size
    assert read.left_out == []


@pytest.mark.parametrize(
    "folder",
    ["..", "a/../..", "../recordings", "/etc", "a\0b", "nowhere", "file.wav", "link", "link/x"],
)
def test_folder_outside_or_by_a_link_is_refused(root, tmp_path, folder):
    (tmp_path / "outside" / "x").mkdir(parents=True)
    (root / "a").mkdir()
    (root / "file.wav").write_bytes(wav())
    (root / "link").symlink_to(tmp_path / "outside")

    with pytest.raises(FolderRefused):
        read_folder(str(root), folder)


def test_folder_that_no_setting_allows_is_refused(root, tmp_path):
    with pytest.raises(FolderRefused, match="not one that may be read"):
        read_folder(str(tmp_path), "recordings")


def test_links_and_what_is_no_file_are_left_out(root, tmp_path):
    outside = tmp_path / "outside.wav"
    outside.write_bytes(wav())
    (root / "a.wav").symlink_to(outside)
    (root / "b").symlink_to(tmp_path)
    os.mkfifo(root / "pipe.wav")
    (root / "folder.wav").mkdir()

    read = read_folder(str(root), "")

    assert (read.files, read.left_out) == ([], ["Links are not followed: 1 left out."])


def test_more_files_than_are_read_at_once_are_said(root, monkeypatch):
    monkeypatch.setattr("sessions.takes.files.folders.MOST_FILES", 2)
    for name in "abc":
        (root / f"{name}.wav").write_bytes(wav())

    read = read_folder(str(root), "")

    assert len(read.files) == 2
    assert read.left_out == ["Not all was read: name a smaller folder, of up to 2 WAV files."]


def test_name_that_is_no_text_is_shown_all_the_same(root):
    with open(os.fsencode(root) + b"/caf\xe9.wav", "wb") as file:
        file.write(wav())

    [found] = read_folder(str(root), "").files

    assert found.path.encode() == "caf\N{REPLACEMENT CHARACTER}.wav".encode()
