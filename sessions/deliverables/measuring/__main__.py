"""Child process: `python -m sessions.deliverables.measuring MEMORY_BYTES CPU_SECONDS FILE`."""

import errno
import json
import resource
import sys

from . import UnmeasurableFile, measure
from .decoding import out_of_memory


def main(memory_bytes: str, cpu_seconds: str, path: str) -> None:
    _limit(resource.RLIMIT_AS, int(memory_bytes))
    _limit(resource.RLIMIT_CPU, int(cpu_seconds))
    _limit(resource.RLIMIT_CORE, 0)
    json.dump(_answer(path), sys.stdout)


def _answer(path: str) -> dict:
    try:
        return {"measurement": measure(path).as_dict()}
    except UnmeasurableFile as error:
        refusal = error
    except (MemoryError, ImportError):  # the decoder loads libraries late, and may find no room
        refusal = out_of_memory()
    except OSError as error:
        if error.errno != errno.ENOMEM:
            raise
        refusal = out_of_memory()
    return {"reason": refusal.reason, "message": str(refusal)}


def _limit(what: int, most: int) -> None:
    _, hard = resource.getrlimit(what)
    most = most if hard == resource.RLIM_INFINITY else min(most, hard)
    resource.setrlimit(what, (most, most))


if __name__ == "__main__":
    main(*sys.argv[1:])
