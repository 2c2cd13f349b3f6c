"""Measures an audio file: format, length, peaks, loudness, waveform and checksum.

`measure_in_child` is the door for files from outside; `measure` does the same in this process.
No Django here: the package runs by itself as `python -m sessions.deliverables.measuring`.
"""

from .child import measure_in_child
from .measurement import (
    WAVEFORM_COLUMNS,
    WAVEFORM_FULL_SCALE,
    Measurement,
    Reason,
    UnmeasurableFile,
)
from .measuring import measure
