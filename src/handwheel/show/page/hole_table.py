"""The holes of a set-up as a table in the lesson page."""

from __future__ import annotations

from html import escape

from handwheel.plan.hole_table import hole_groups
from handwheel.setup import Setup
from handwheel.units import shop_number


def holes_html(setup: Setup) -> str:
    """Each pattern with its callout, and where each of its holes is as the readout shows it; nothing where the set-up
    makes no hole."""
    groups = [group for group in hole_groups(setup) if group.is_here]
    if not groups:
        return ""
    units = setup.job.units
    said = "".join(
        f"<div><dt>{group.letter}</dt> <dd>{escape(group.name)}: {escape(group.callout)}</dd></div>" for group in groups
    )
    rows = "".join(
        f'<tr><th scope="row">{name}</th><td>{shop_number(x, units)}</td><td>{shop_number(y, units)}</td></tr>'
        for group in groups
        for name, (x, y) in group.rows
    )
    heads = "".join(f'<th scope="col">{name}</th>' for name in ("hole", "X", "Y"))
    return (
        f'<dl class="told">{said}</dl>'
        f"<table><caption>Holes, from the work zero</caption><thead><tr>{heads}</tr></thead>"
        f"<tbody>{rows}</tbody></table>"
    )
