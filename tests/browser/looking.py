"""What a page must be like, wherever it is opened: no scrolling sideways, nothing that a finger
misses, nothing that axe objects to. Each look gives back sentences about what is wrong."""

# CSS pixels: Web Content Accessibility Guidelines 2.2, 2.5.5 (level AAA) and 2.5.8 (level AA)
FOR_A_FINGER, FOR_A_MOUSE = 44, 24

SIDEWAYS = """() => {
  const width = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= width) return [];
  return [...document.querySelectorAll("body *")]
    .filter((part) => part.getBoundingClientRect().right > width + 1)
    .filter((part) => !part.closest(".table-scroll, .visually-hidden"))
    .slice(0, 3)
    .map((part) => `scrolls sideways: ${part.outerHTML.slice(0, 120)}`)
    .concat("scrolls sideways");
}"""

# What is ticked is touched by its label; a field in a row of letters is not a target of its own.
SMALL_TARGETS = """(smallest) => {
  const parts = "button, input, select, textarea, summary, a.button, .site-nav a, .section-tabs a, .unit a";
  return [...document.querySelectorAll(parts)]
    .filter((part) => part.type !== "hidden" && part.checkVisibility())
    .filter((part) => !part.closest(".visually-hidden"))
    .map((part) => (["checkbox", "radio", "file"].includes(part.type) && part.closest("label")) || part)
    .filter((part) => {
      const { width, height } = part.getBoundingClientRect();
      return width < smallest - 0.5 || height < smallest - 0.5;
    })
    .map((part) => {
      const { width, height } = part.getBoundingClientRect();
      const size = `${Math.round(width)} by ${Math.round(height)}`;
      return `a target of ${size}: ${part.outerHTML.slice(0, 120)}`;
    });
}"""


# Of what somebody works with all day, at 1280 by 900: how high it is at most, in CSS pixels, and how
# many rows of a list are seen before anything is scrolled.
HEIGHTS = {"bookings:detail": 1400, "money:session": 1600}
HEIGHTS |= {"bookings:create": 900, "bookings:edit": 900}
HEADER, ROW, ROWS_SEEN = 72, 38, 15  # a row has its line with the next
ROWS = """() => [...document.querySelectorAll("main .table tbody tr")]
  .map((row) => row.getBoundingClientRect().toJSON())"""


def loose(page, name: str) -> list[str]:
    """What stands less close together than it should on a wide page of that URL name."""
    found = []
    header = page.locator(".site-head").bounding_box()
    if header and header["height"] > HEADER:
        found.append(f"a header of {header['height']}")
    height = page.evaluate("document.documentElement.scrollHeight")
    if height > HEIGHTS.get(name, height):
        found.append(f"a page of {height}")
    if name == "equipment:list":
        rows = page.evaluate(ROWS)
        found += [f"a row of {row['height']}" for row in rows if row["height"] > ROW]
        seen = len([row for row in rows if row["bottom"] <= page.viewport_size["height"]])
        if seen < ROWS_SEEN:
            found.append(f"{seen} rows to be seen")
    return found


def sideways(page) -> list[str]:
    return page.evaluate(SIDEWAYS)


def small_targets(page, smallest: int = FOR_A_MOUSE) -> list[str]:
    return page.evaluate(SMALL_TARGETS, smallest)


def barriers(page, **options) -> list[str]:
    """What axe objects to, its best practices included."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page, options={"resultTypes": ["violations"], **options})
    return [
        f"axe, {broken['id']}: {node['target']} {node['html'][:160]}"
        for broken in found.response["violations"]
        for node in broken["nodes"]
    ]


def faint_words(page) -> list[str]:
    """Words that stand out too little from what is behind them, and nothing else of the above."""
    return barriers(page, runOnly=["color-contrast"])
