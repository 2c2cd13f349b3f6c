import hashlib
import json

from django import forms
from django.conf import settings
from django.template.defaultfilters import filesizeformat

from sessions.takes.files.child import FoundFile
from sessions.takes.files.chunks import read_header
from sessions.takes.files.folders import (
    ENDINGS,
    MOST_FILES,
    MOST_HEADER_BYTES,
    FolderRead,
    FolderRefused,
    read_folder,
    shown_path,
)
from sessions.takes.files.notes import LARGEST

LARGEST_UPLOAD = 15 << 20  # a script sends headers only
MOST_BRACKETS = 10 * MOST_FILES  # one of each file, and those in their names
TOO_MANY = f"At most {MOST_FILES} files at once: drop a smaller folder."


class ManyFiles(forms.FileInput):
    allow_multiple_selected = True


class ManyFilesField(forms.FileField):
    widget = ManyFiles

    def clean(self, data, initial=None):
        return [super(ManyFilesField, self).clean(each, initial) for each in data]


class DropForm(forms.Form):
    """Whole files, or what a script took out of them: `headers` is the `chunks.Header` of each, one
    after the other, and `listed` says of each path, size, length of its header, bytes of sound."""

    files = ManyFilesField(
        required=False, label="WAV files", widget=ManyFiles(attrs={"accept": ",".join(ENDINGS)})
    )
    listed = forms.CharField(required=False, widget=forms.HiddenInput)
    headers = forms.FileField(required=False, widget=forms.FileInput(attrs={"hidden": True}))

    def clean(self):
        data = super().clean()
        if sum(file.size for _, of in self.files.lists() for file in of) > LARGEST_UPLOAD:
            most = filesizeformat(LARGEST_UPLOAD)
            self.add_error("files", f"At most {most} can be uploaded at once: choose fewer files.")
            return data
        if data.get("listed"):
            data["found"] = self._found_in(data["listed"], data.get("headers"))
        else:
            data["found"] = [_found(file) for file in data.get("files", [])]
        if not data["found"] and not self.errors:
            self.add_error("files", "Choose WAV files, or drop a folder that has some.")
        return data

    def _found_in(self, listed: str, headers) -> list[FoundFile]:
        if listed.count("[") > MOST_BRACKETS:
            self.add_error("files", TOO_MANY)
            return []
        try:
            entries = [_entry(*each) for each in json.loads(listed)]
        except (ValueError, TypeError, RecursionError):
            self.add_error("files", "The list of the files arrived damaged: drop them again.")
            return []
        if len(entries) > MOST_FILES:
            self.add_error("files", TOO_MANY)
            return []
        lengths = sum(length for _, _, length, _ in entries)
        if headers is None or headers.size != lengths or lengths > MOST_HEADER_BYTES:
            self.add_error(
                "files", "The headers of the files did not all arrive: drop fewer files."
            )
            return []
        return [
            FoundFile(shown_path(path), size, headers.read(length), sound)
            for path, size, length, sound in entries
        ]


def _entry(path: str, size: int, length: int, sound: int | None) -> tuple:
    """Raises ValueError for anything but a name and sizes that a file can have."""
    numbers = [size, length] if sound is None else [size, length, sound]
    if not isinstance(path, str) or not shown_path(path):
        raise ValueError(path)
    if not all(type(number) is int and 0 <= number <= LARGEST for number in numbers):
        raise ValueError(numbers)
    return path, size, length, sound


def _found(file) -> FoundFile:
    """Of an upload that is here as a whole."""
    sha256 = hashlib.sha256()
    for part in file.chunks():
        sha256.update(part)
    header = read_header(file, file.size)
    path = shown_path(file.name) or "unnamed"
    return FoundFile(path, file.size, header.content, header.sound_bytes, sha256.hexdigest())


class FolderForm(forms.Form):
    """A folder of the server; `read` is what is in it."""

    root = forms.ChoiceField(label="In")
    folder = forms.CharField(
        required=False,
        max_length=500,
        label="Folder",
        help_text="As it is called below the one chosen; empty for all of that.",
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["root"].choices = [(root, root) for root in settings.TAKE_FOLDERS]

    def clean(self):
        data = super().clean()
        if self.errors:
            return data
        folder = data["folder"].removeprefix(data["root"]).strip("/")
        try:
            data["read"] = read_folder(data["root"], folder)
        except FolderRefused as refusal:
            self.add_error("folder", str(refusal))
        else:
            self._say_if_empty(data["read"])
        return data

    def _say_if_empty(self, read: FolderRead) -> None:
        if not read.files:
            self.add_error("folder", " ".join(["There are no WAV files in it.", *read.left_out]))
