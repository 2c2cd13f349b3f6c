"""Child process: `python -m sessions.deliverables.measuring MEMORY_BYTES CPU_SECONDS FILE SECONDS`.

Measures the file, which may be as long as the seconds say. Its progress goes to standard error, a
line for each percentage; the measurement or the refusal to standard output.
"""

import errno
import json
import sys
from dataclasses import asdict

from sessions.limited import limit_this_process

from . import UnmeasurableFile, measure
from .decoding import out_of_memory


def main(memory_bytes: str, cpu_seconds: str, path: str, longest_seconds: str) -> None:
    limit_this_process(memory_bytes, cpu_seconds)
    json.dump(_answer(path, float(longest_seconds)), sys.stdout)


def _answer(path: str, longest_seconds: float) -> dict:
    try:
        measured = measure(path, progress=_say, longest_seconds=longest_seconds)
        return {"measurement": asdict(measured)}
    except UnmeasurableFile as error:
        refusal = error
    except (MemoryError, ImportError):  # the decoder loads libraries late, and may find no room
        refusal = out_of_memory()
    except OSError as error:
        if error.errno != errno.ENOMEM:
            raise
        refusal = out_of_memory()
    return {"reason": refusal.reason, "message": str(refusal)}


def _say(percent: int) -> None:
    sys.stderr.write(f"{percent}\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
