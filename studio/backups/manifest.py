"""What a backup says of itself: `manifest.json`, the last thing that is written into it."""

import json
from dataclasses import asdict, dataclass, field
from hashlib import sha256

FORMAT = 1


@dataclass
class Table:
    """Its rows are lines of `tables/NAME.jsonl`; `sha256` is that of all lines in their order. `last` is
    the highest number that was ever given as a key, None where keys are no numbers."""

    columns: list[str]
    rows: int
    bytes: int
    sha256: str
    last: int | None
    history: bool


@dataclass
class StoredFile:
    """It stands in `files/NAME`."""

    bytes: int
    sha256: str


@dataclass
class ListedFile:
    """One that stays where it is: in a "bucket" (FILES_URL) or in a "folder" (TAKE_FOLDERS).
    `sha256` is empty where nobody has ever read all of it."""

    kept: str
    name: str
    bytes: int | None
    sha256: str


@dataclass
class Manifest:
    program: str
    made_at: str
    engine: str
    migrations: list[list[str]]  # application and name
    format: int = FORMAT
    tables: dict[str, Table] = field(default_factory=dict)
    files: dict[str, StoredFile] = field(default_factory=dict)
    listed: list[ListedFile] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)  # that rows name, and that nobody could find
    damaged: list[str] = field(default_factory=list)  # that are not what they were when they came
    settings_sha256: str = ""
    with_secrets: bool = False

    @property
    def history(self) -> str:
        """The digest of all that the history tables hold: the seal."""
        said = "".join(
            f"{name} {table.sha256}\n"
            for name, table in sorted(self.tables.items())
            if table.history
        )
        return sha256(said.encode()).hexdigest()

    @property
    def rows(self) -> int:
        return sum(table.rows for table in self.tables.values())

    def written(self) -> bytes:
        return json.dumps(asdict(self) | {"history": self.history}, indent=1).encode()


def read_manifest(said: bytes) -> Manifest:
    """Raises ValueError for what is none, and where the seal is not that of the tables."""
    try:
        data = json.loads(said)
        if data["format"] > FORMAT:
            raise ValueError("a newer version of the program made it: upgrade this one first")
        seal = data.pop("history")
        manifest = Manifest(
            **data
            | {
                "tables": {name: Table(**table) for name, table in data["tables"].items()},
                "files": {name: StoredFile(**file) for name, file in data["files"].items()},
                "listed": [ListedFile(**file) for file in data["listed"]],
            }
        )
        _see_that_numbers_are_some(manifest)
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError(f"its manifest is none: {error}") from error
    if manifest.history != seal:
        raise ValueError("the seal of its history is not that of its tables")
    return manifest


def _see_that_numbers_are_some(manifest: Manifest) -> None:
    """Raises TypeError: nothing is counted or measured below nothing, nor in words."""
    counts = [(table.rows, table.bytes) for table in manifest.tables.values()]
    counts += [(file.bytes,) for file in manifest.files.values()]
    for count in (each for some in counts for each in some):
        if type(count) is not int or count < 0:
            raise TypeError(f"{count} is no number of rows or bytes")
    for migration in manifest.migrations:
        application, name = migration
        if not (isinstance(application, str) and isinstance(name, str)):
            raise TypeError(f"{migration} is no migration")
