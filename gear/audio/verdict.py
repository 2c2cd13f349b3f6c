"""A judgement in words, with how serious it is and what it rests on."""

from dataclasses import dataclass
from typing import Literal

Severity = Literal["ok", "note", "caution", "warning"]
#: The basis of a rule that studios share and no standard states.
COMMON_PRACTICE = "common practice"


@dataclass(frozen=True)
class Verdict:
    """What to think of a number, and what to do. basis says where the rule comes from."""

    severity: Severity
    sentence: str
    basis: str
