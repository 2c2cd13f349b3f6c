from sessions.takes.models.comp import CompChoice, CompGrade
from sessions.takes.models.files import TakeFile
from sessions.takes.models.presses import TakePress, What
from sessions.takes.models.takes import FALSE_STARTS, Mark, Take, TakeKind, TakePart
from sessions.takes.models.through import RevisionInDoubt, TakeRevision
