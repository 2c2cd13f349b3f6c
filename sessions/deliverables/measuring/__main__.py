"""Child process: `python -m sessions.deliverables.measuring MEMORY_BYTES CPU_SECONDS FILE`."""

import errno
import json
import sys
from dataclasses import asdict

from sessions.limited import limit_this_process

from . import UnmeasurableFile, measure
from .decoding import out_of_memory


def main(memory_bytes: str, cpu_seconds: str, path: str) -> None:
    limit_this_process(memory_bytes, cpu_seconds)
    json.dump(_answer(path), sys.stdout)


def _answer(path: str) -> dict:
    try:
        return {"measurement": asdict(measure(path))}
    except UnmeasurableFile as error:
        refusal = error
    except (MemoryError, ImportError):  # the decoder loads libraries late, and may find no room
        refusal = out_of_memory()
    except OSError as error:
        if error.errno != errno.ENOMEM:
            raise
        refusal = out_of_memory()
    return {"reason": refusal.reason, "message": str(refusal)}


if __name__ == "__main__":
    main(*sys.argv[1:])
