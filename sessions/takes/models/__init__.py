from sessions.takes.models.comp import CompChoice, CompGrade
from sessions.takes.models.takes import FALSE_STARTS, Mark, Take, TakeKind, TakePart, TakeRevision
