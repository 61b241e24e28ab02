"""What the colours and the lines of a backplot stand for."""

from __future__ import annotations

from collections.abc import Mapping

from handwheel.plan import Plan
from handwheel.show.draw.colours import NO_STEP, feed_by_step
from handwheel.show.draw.labels import Rect
from handwheel.show.draw.lettering import LARGE, PITCH, SMALL, elided, wrapped
from handwheel.show.draw.lines import ADJACENT, FEED, HIDDEN, INK, RAPID, THIN, VISIBLE
from handwheel.show.draw.sheet import Sheet


def step_key(sheet: Sheet, place: Rect, plan: Plan, colours: Mapping[int, str]) -> None:
    """What each colour stands for: a step, its number and its title, as far as the place holds them."""
    left, right = place.x0, place.x1
    y, floor = place.y1 - LARGE, place.y0
    sheet.text((left, y), "The program's passes by step", height=LARGE)
    y -= PITCH * LARGE
    feeds = feed_by_step(colours)
    titles = {step.number: step.title for step in plan.steps}
    rows = [(step, wrapped(titles.get(step, "no such step in the plan"), right - left - 18)) for step in colours]
    most = max((len(lines) for _, lines in rows), default=1)
    while most > 1 and sum(min(len(lines), most) for _, lines in rows) * PITCH * SMALL + len(rows) > y - floor:
        most -= 1
    for index, (step, lines) in enumerate(rows):
        shown_lines = (
            lines
            if len(lines) <= most
            else [*lines[: most - 1], elided(" ".join(lines[most - 1 :]), right - left - 18)]
        )
        if y - len(shown_lines) * PITCH * SMALL < floor and index < len(rows):
            sheet.text((left, y), f"and {len(rows) - index} more: see the route sheet")
            return
        sheet.line(((left, y + SMALL / 2), (left + 9, y + SMALL / 2)), feeds[step], colours[step])
        sheet.text((left + 15.5, y), str(step), align="right", bold=True)
        for line in shown_lines:
            sheet.text((left + 18, y), line)
            y -= PITCH * SMALL
        y -= 1.0


def line_key(sheet: Sheet, proved: bool) -> None:
    """Left of the title block: the verdict, and what each line stands for."""
    left, y = sheet.frame.x0 + 4, sheet.field.y0 - 6.0
    sheet.text((left, y), "Proved" if proved else "NOT PROVED: do not run", bold=True)
    y -= PITCH * SMALL
    for kind, colour, words in (
        (FEED, NO_STEP, "program at feed"),
        (RAPID, NO_STEP, "program at rapid"),
        (VISIBLE, INK, "raw work"),
        (THIN, INK, "finished edges; cutter"),
        (ADJACENT, INK, "vise and parallels"),
        (HIDDEN, INK, "hidden by the front jaw"),
    ):
        sheet.line(((left, y + SMALL / 2), (left + 13, y + SMALL / 2)), kind, colour)
        sheet.text((left + 15, y), words)
        y -= PITCH * SMALL
