"""Rules of the trade as predicates over columns; severity, reason, remedy and source stand once, in the rule table.

A positional argument is a column of the Sheet, a keyword-only one a limit of the house (house_limits.csv).
"""

from softseat.selection.rules import (
    body,
    care,
    data,
    fitting,
    flow,
    line,
    liner_attack,
    liner_duty,
    liner_swell,
    metal,
    operator,
    operator_site,
    paper,
    rating,
    service,
    special,
    surge,
    vacuum,
)

AREAS = (
    data, rating, vacuum, liner_swell, liner_attack, liner_duty, metal, flow, line, operator, operator_site, surge, body, fitting, care,
    special, service, paper,
)  # fmt: skip
