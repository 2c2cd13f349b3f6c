"""The columns of the lists of clients and of people, which go out as they come in."""

from gear.lists.columns import columns_of
from gear.tables import Columns
from sessions.clients.models import Client, Person

CLIENT = "client"
CLIENT_COLUMNS = columns_of(
    Client,
    {"name": "", "email": "e-mail", "phone": "", "address": "", "note": "", "retired": ""},
)
#: Beside these a line names the client whose contact or member the person is.
PERSON_COLUMNS = columns_of(
    Person,
    {
        "name": "",
        "credited_as": "",
        "does": "role",
        "email": "e-mail",
        "phone": "",
        "bookable": "",
        "retired": "",
    },
)
CLIENT_CELLS: Columns = {column.heading: column.value for column in CLIENT_COLUMNS}
#: Reads person.client; load the people `for_list`.
PERSON_CELLS: Columns = {
    **{column.heading: column.value for column in PERSON_COLUMNS},
    CLIENT: lambda person: person.client,
}
#: What address books and spreadsheets call some of them.
_KNOWN_AS = {
    **dict.fromkeys(("email", "mail", "e-mail address", "email address"), "e-mail"),
    **dict.fromkeys(("telephone", "phone number", "mobile"), "phone"),
    **dict.fromkeys(("notes", "comment"), "note"),
    **dict.fromkeys(("full name", "display name"), "name"),
    "postal address": "address",
}
CLIENTS_KNOWN_AS = _KNOWN_AS | dict.fromkeys(("client", "company", "organisation"), "name")
PEOPLE_KNOWN_AS = _KNOWN_AS | dict.fromkeys(("company", "organisation"), CLIENT)
