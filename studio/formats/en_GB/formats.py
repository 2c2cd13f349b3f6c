"""How dates and times are written, on pages, papers and in letters: Fri 27 Nov 2026, 09:30.

Templates say `|date`, `|time` or `|date:"DATETIME_FORMAT"`, code `date_format(day)`. Only titles
spell the day out (`"l j F Y"`), and what stands within a known week leaves out the year (`"D j M"`).
"""

from django.conf.locale.en_GB import formats as british

DATE_FORMAT = SHORT_DATE_FORMAT = "D j M Y"
DATETIME_FORMAT = SHORT_DATETIME_FORMAT = "D j M Y, H:i"
TIME_FORMAT = "H:i"
DATETIME_INPUT_FORMATS = ["%Y-%m-%dT%H:%M", *british.DATETIME_INPUT_FORMATS]
