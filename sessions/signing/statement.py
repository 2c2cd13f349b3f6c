"""What somebody signs: all that stands above the line, as plain words that are kept with it."""

import json
from dataclasses import asdict, dataclass
from hashlib import sha256


@dataclass(frozen=True)
class Statement:
    """`facts` are pairs of label and value; `sentence` is what the signer says, in the first person."""

    title: str
    facts: tuple[tuple[str, str], ...]
    sentence: str

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the words, in hexadecimal: another word is another statement."""
        return sha256(json.dumps(self.as_data(), sort_keys=True).encode()).hexdigest()

    def as_data(self) -> dict:
        return asdict(self) | {"facts": [list(fact) for fact in self.facts]}

    @classmethod
    def from_data(cls, data: dict) -> "Statement":
        return cls(data["title"], tuple(map(tuple, data["facts"])), data["sentence"])
