from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Choices:
    """What whoever saves decides of the letters; `left_out` holds addresses."""

    left_out: frozenset[str] = frozenset()
    nobody: bool = False
    added_line: str = ""
    with_price: bool = False  # in the letters to clients
    not_before: datetime | None = None  # the letters wait until then, so that it can be undone

    def leave_out(self, address: str) -> bool:
        return self.nobody or address.lower() in self.left_out


NONE = Choices()
TELL_NOBODY = Choices(nobody=True)
