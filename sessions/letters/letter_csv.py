"""The columns of the list of letters as comma-separated values."""

from gear.tables import Columns

COLUMNS: Columns = {
    "written": lambda letter: letter.written_at,
    "by": lambda letter: letter.written_by,
    "to": lambda letter: letter.to,
    "reader": lambda letter: letter.person or letter.client,
    "subject": lambda letter: letter.subject,
    "about": lambda letter: "; ".join(str(topic.about) for topic in letter.topics.all()),
    "state": lambda letter: letter.get_state_display().lower(),
    "sent": lambda letter: letter.sent_at,
    "why not": lambda letter: letter.error,
    "told otherwise": lambda letter: letter.told_how,
    "message id": lambda letter: letter.message_id,
}
