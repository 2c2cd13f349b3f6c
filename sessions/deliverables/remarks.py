"""What an engineer would want to know about a file that was handed in, and on what ground."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import PurePath

from sessions.clients.models import Project
from sessions.clients.orders import MIX_KINDS
from sessions.deliverables.models import Deliverable, DeliverableFile

PRACTICE = "common practice"


@dataclass(frozen=True)
class Remark:
    """A sentence about a file. A warning is worth acting on; `basis` says where the rule is from."""

    text: str
    basis: str
    warning: bool = True


def remarks_on(file: DeliverableFile, *, of: Deliverable) -> list[Remark]:
    """Warnings first. Reads of.song.project; costs one query for files with the same content."""
    found = [
        *_peaks(file),
        *_format(file, of.song.project),
        *_lossy(file, of),
        *_name(file),
        *_same_content(file),
        *(Remark(note, "found while measuring", warning=False) for note in file.notes),
    ]
    return sorted(found, key=lambda remark: not remark.warning)


def _peaks(file: DeliverableFile) -> Iterator[Remark]:
    sample, true = file.levels["sample_peak_dbfs"], file.levels["true_peak_dbtp"]
    if sample is None:
        yield Remark("The file is silent from beginning to end.", "every sample is zero")
        return
    if sample > 0:
        yield Remark(
            f"Samples are {sample:.1f} dB above full scale. Only a floating-point file can hold them: "
            f"turn it down by {sample:.1f} dB or more before it is converted to 24 bit.",
            PRACTICE,
        )
    elif true > 0:
        yield Remark(
            f"Between the samples the sound is {true:.1f} dB above full scale: a converter or an "
            f"encoder may clip there. Turned down by {true:.1f} dB it would not.",
            f"true peak by ITU-R BS.1770, Annex 2; 0 dBTP as the limit: {PRACTICE}",
        )


def _format(file: DeliverableFile, project: Project) -> Iterator[Remark]:
    if file.sample_rate != project.sample_rate:
        yield Remark(
            f"The file has a sample rate of {file.rate_in_words}; the project is recorded at "
            f"{project.get_sample_rate_display()}.",
            f"the format of {project}",
        )
    if file.bit_depth and file.depth_in_words != project.get_bit_depth_display():
        yield Remark(
            f"The file has {file.depth_in_words}; the project is recorded with "
            f"{project.get_bit_depth_display()}.",
            f"the format of {project}",
        )


def _lossy(file: DeliverableFile, deliverable: Deliverable) -> Iterator[Remark]:
    if file.lossless:
        return
    if deliverable.kind in MIX_KINDS:
        yield Remark(
            f"{file.codec_in_words} is lossy: fine to listen to, not to mix from.",
            PRACTICE,
            warning=False,
        )
    else:
        yield Remark(
            f"{file.codec_in_words} is lossy: export as WAV what is to be mixed.",
            PRACTICE,
        )


def _name(file: DeliverableFile) -> Iterator[Remark]:
    ending = PurePath(file.original_name).suffix.lower()
    if file.format.endings and ending not in file.format.endings:
        yield Remark(
            f"The name ends in “{ending or 'nothing'}”, but the file is {file.format.word}: "
            f"some programs will not open it until it is named {file.format.ending}.",
            "the file’s own header",
        )


def _same_content(file: DeliverableFile) -> Iterator[Remark]:
    if before := DeliverableFile.objects.handed_in_before(file).first():
        yield Remark(
            f"Byte for byte this is the same file as {before.deliverable}: check that the "
            "right one was exported.",
            "the same SHA-256",
        )
