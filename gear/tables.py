"""What the tables of lists have in common."""

FIGURE = {"th": {"class": "num"}, "td": {"class": "num mono"}}
RETIRED = {"class": lambda record: "retired" if record.retired else ""}
