"""The machine card of a route by hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from handwheel.hand.actions import Action
from handwheel.hand.card import BLANK, CAUTIONS, Card, Do, Fact, ToolBlock
from handwheel.hand.card_rows import Rows
from handwheel.hand.execute import execute
from handwheel.hand.expect import cutting, lubricant
from handwheel.hand.repair import reachable
from handwheel.hand.scales import Scales
from handwheel.hand.words import to_face, turns_past
from handwheel.path.face import Face
from handwheel.plan import Plan, Step
from handwheel.plan.words import tool_name
from handwheel.setup import Setup, touches
from handwheel.units import to_units


def card(setup: Setup, plan: Plan, actions: Sequence[Action], faults: Sequence[str] = ()) -> Card:
    """What the operator needs at the mill, from the same actions as the route sheet.

    Parameters
    ----------
    setup, plan : what is made, how the work is clamped, its steps by hand
    actions : what :func:`handwheel.hand.actions` gave for them
    faults : why the proof of them failed, where it did
    """
    scales = Scales(setup.job)
    held = tuple(holding(setup, scales))
    rows = Rows(setup, plan, scales, execute(setup, actions), first=len(held) + 1)
    blocks = [
        ToolBlock(_tool_title(setup, steps), tuple(_tool_facts(setup, scales, steps)), made)
        for steps, made in rows.by_tool()
    ]
    same = _common([block.facts for block in blocks])
    blocks = [replace(block, facts=tuple(fact for fact in block.facts if fact not in same)) for block in blocks]
    blocks = _said_once(blocks)
    after = len(held) + sum(len(block.rows) for block in blocks) + 1
    if plan.steps:
        blocks.append(ToolBlock("Before the vise is opened", (), tuple(_last(setup, plan, scales, after))))
    return Card(
        route="by hand",
        title=setup.job.title,
        set_up=set_up_name(setup),
        warnings=tuple(f"NOT PROVED - do not work by this card: {fault}" for fault in faults),
        cautions=CAUTIONS,
        facts=(*standing(setup, scales), *_reading(setup, plan, scales), *same),
        places=rows.letters(),
        ways=rows.tables(),
        places_note=_places_note(setup, scales),
        blocks=(ToolBlock("Set-up", (), held), *blocks),
    )


def _common(facts: Sequence[tuple[Fact, ...]]) -> tuple[Fact, ...]:
    """What every tool's block says, where there are several: it is said once for all of them."""
    if len(facts) < 2:
        return ()
    return tuple(fact for fact in facts[0] if fact.label and all(fact in others for others in facts[1:]))


def _said_once(blocks: list[ToolBlock]) -> list[ToolBlock]:
    """A hazard that an earlier tool has too is not said again in full."""
    told: dict[Fact, str] = {}
    made = []
    for block in blocks:
        name = block.title.split()[0]
        facts = tuple(
            Fact(fact.label, f"as for {told[fact]}") if fact.label == "Hazard" and fact in told else fact
            for fact in block.facts
        )
        for fact in block.facts:
            told.setdefault(fact, name)
        made.append(replace(block, facts=facts))
    return made


def set_up_name(setup: Setup) -> str:
    """Which set-up; nothing where there is one alone."""
    count = len(setup.job.setups)
    return f"set-up {setup.number} of {count}: {setup.name}" if count > 1 else ""


def standing(setup: Setup, scales: Scales) -> Iterator[Fact]:
    """The part, and how it is held: the same by either route."""
    job, length = setup.job, scales.length
    number = f"{job.part_number}, " if job.part_number else ""
    units = "inches" if job.units == "in" else "mm"
    yield Fact("Part", f"{number}{job.material.description}, sizes in {units}")
    yield Fact("Work", f"{' x '.join(length(one) for one in setup.raw.size)} (along the jaws x across x high)")
    air = "" if setup.air is None else f"; lowest cut {length(setup.air)} above the jaws"
    held = f"parallels {length(setup.parallel_height)}, grip {length(setup.grip)}"
    yield Fact("Held", f"{held}, stick-out {length(setup.stick_out)}{air}")


def _reading(setup: Setup, plan: Plan, scales: Scales) -> Iterator[Fact]:
    """Zero, and how the rows are read."""
    zero = f"finished {setup.zero.x}, {setup.zero.y}, {setup.zero.z}"
    shows = "X and Y on the readout: the spindle's center" if setup.job.by_hand.readout_step else "dials alone"
    yield Fact("Zero", f"{zero}; {shows}")
    if not plan.steps:
        return
    back = turns_past(scales, "knee")
    overshot = f"Overshot: knee down {back} and up again. "
    if not setup.job.by_hand.readout_step:
        x, y, _ = touches(setup, 0.0)
        past = f"table {turns_past(scales, 'x')}, saddle {turns_past(scales, 'y')}"
        overshot += (
            f"* go past the setting ({past}) and come back: the table {to_face(x.face)}, the saddle {to_face(y.face)}. "
        )
    yield Fact(
        "Rows",
        f"4 t + 75: 4 turns from the dial's zero, then 75. {overshot}"
        "LOCK: that slide. Free a slide before you wind it. Only FEED cuts, one way and never back.",
    )


def holding(setup: Setup, scales: Scales) -> Iterator[Do]:
    """Cleaned, clamped, and measured before the spindle starts."""
    number = 1
    if setup.before:
        faces = [setup.part_face(face) for face in (Face.TOP, Face.BACK, Face.LEFT)]
        turned = f"the drawing's {faces[0]} up, {faces[1]} on the fixed jaw, {faces[2]} to your left"
        yield Do(number, ("take the part out", "deburr", f"turn it: {turned}"))
        number += 1
    back = ("raw " if setup.is_raw(Face.BACK) else "") + str(setup.part_face(Face.BACK))
    at = setup.entry.at
    stands = f"{at.past} end {scales.length(at.by)} past the jaws" if at.by is not None else at.stands
    where = {"centre": "middle of the jaws", "left": "flush left", "right": "flush right"}.get(str(stands), str(stands))
    rod = (f"rod {scales.length(setup.entry.rod)} at the movable jaw",) if setup.entry.rod is not None else ()
    side = setup.vise.stop.side
    stop = () if side == "none" else (f"stop {side}" + ("" if setup.stop is not None else ", swing away when clamped"),)
    yield Do(
        number,
        (
            "jaws, bed, parallels, work clean",
            f"{back} face on the fixed jaw, {where}",
            *stop,
            *rod,
            "clamp, seat, both parallels tight",
            "vise handle off",
        ),
    )
    yield Do(
        number + 1,
        (
            "spindle off",
            f"depth rod from the work's top down to a jaw: {scales.length(setup.stick_out)}, reads {BLANK}",
            f"off by more than {scales.length(setup.job.stock.tolerance)}: stop",
        ),
    )


def _tool_title(setup: Setup, steps: Sequence[Step]) -> str:
    tool = steps[0].tool
    return (
        f"T{tool.number}  {tool_name(tool, setup.job.units)}, {Scales(setup.job).length(tool.reach)} out of the holder"
    )


def _tool_facts(setup: Setup, scales: Scales, steps: Sequence[Step]) -> Iterator[Fact]:
    """What is the same for all rows of a tool, once."""
    cuts = [step for step in steps if step.cuts]
    if not cuts:
        return
    paces: dict[str, list[str]] = {}
    for step in cuts:
        paces.setdefault(pace(setup, scales, step), []).append(step.operation)
    for at, (said, names) in enumerate(paces.items()):
        which = "" if len(paces) == 1 else f"{', '.join(dict.fromkeys(names))}: "
        yield Fact("Speed" if at == 0 else "", f"{which}{said}")
    ways = cutting(setup.job, cuts[0].tool)
    yield Fact("Oil", f"{lubricant(setup.job, cuts[0].tool)}. Chips: {ways.chips}. Trouble: {ways.trouble}")
    if ways.caution:
        yield Fact("", ways.caution)
    if any(step.strokes for step in cuts):
        yield Fact("Lock", "quill up and knee, and the slide that does not feed")
    yield Fact("Hazard", " ".join(dict.fromkeys(step.hazard for step in cuts)))
    if any(step.cutting == "climb" for step in cuts):
        yield Fact("", "Climb cut: the cutter pulls the work along by the backlash; drag the feeding slide's lock.")


def pace(setup: Setup, scales: Scales, step: Step) -> str:
    """Speed and feed, the feed as seconds a turn of the handwheel."""
    speeds, slides, units = step.speeds, setup.job.by_hand.slides, setup.job.units
    feed = to_units(speeds.feed_mm_min, units)
    number = f"{feed:.1f}" if units == "in" else f"{feed:.0f}"
    if step.holes:
        each = scales.length(speeds.feed_mm_min / speeds.rpm)
        return f"{speeds.rpm:g} rev/min; lever {number} {units}/min, {each} a turn of the tool"
    table, saddle = (f"{60.0 * slide.per_turn / speeds.feed_mm_min:.1f} s" for slide in (slides.x, slides.y))
    turn = f"{table} a turn" if table == saddle else f"table {table}, saddle {saddle} a turn"
    return f"{speeds.rpm:g} rev/min; feed {number} {units}/min = {turn}"


def _last(setup: Setup, plan: Plan, scales: Scales, number: int) -> Iterator[Do]:
    """Sizes once more while the work is clamped; then out."""
    again = [size for size, _ in reachable(setup, plan)]
    if again:
        sizes = tuple(
            f"{size.name} {BLANK} ({scales.length(size.lower)} to {scales.length(size.upper)})" for size in again
        )
        yield Do(number, ("measure once more, work still clamped", *sizes, "undersize: stop and tell the instructor"))
        number += 1
    yield Do(number, ("unclamp", "deburr the lower edges", "clean the vise"))


def _places_note(setup: Setup, scales: Scales) -> str:
    """What is done at each hole, and how dials come to it, so that one zero serves from either side."""
    each = "At each hole: LOCK table and saddle, quill down to its stop, let it up."
    if setup.job.by_hand.readout_step:
        return each
    x, y, _ = touches(setup, 0.0)
    return (
        f"{each} Come to each with the table going {to_face(x.face)} and the saddle {to_face(y.face)}; from the other "
        "side go "
        f"{turns_past(scales, 'x')} of the table, {turns_past(scales, 'y')} of the saddle past, then come back."
    )
