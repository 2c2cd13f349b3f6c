"""The files of a letter; those that take long to make are made when it goes."""

import logging

from django.utils.module_loading import import_string

from sessions.letters.models import Letter, LetterFile
from sessions.unavailable import unavailable

logger = logging.getLogger(__name__)


def files_of(letter: Letter) -> list[LetterFile]:
    """With all that is to be made, which is then kept. A letter goes without what cannot be made: it
    says the same itself."""
    return [file for file in letter.files.all() if not file.made_by or file.content or _make(file)]


def _make(file: LetterFile) -> bool:
    try:
        file.content = import_string(file.made_by)(file.made_of)
    except Exception as error:
        if unavailable(error):
            raise  # it can be made once the database or the disk is back
        logger.exception("%s cannot be made for letter %s", file.name, file.letter_id)
        return False
    file.save(update_fields=["content"])
    return True
