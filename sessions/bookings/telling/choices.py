from dataclasses import dataclass


@dataclass(frozen=True)
class Choices:
    """What whoever saves decides of the letters; `left_out` holds addresses."""

    left_out: frozenset[str] = frozenset()
    nobody: bool = False
    added_line: str = ""
    with_price: bool = False  # in the letters to clients

    def leave_out(self, address: str) -> bool:
        return self.nobody or address.lower() in self.left_out


NONE = Choices()
TELL_NOBODY = Choices(nobody=True)
