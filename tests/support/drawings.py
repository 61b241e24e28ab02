"""What stands on a drawing, read back from the figure: lettering, and where it is on paper."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hypothesis import strategies as st
from jobs import Draft, drafts
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from handwheel.job import Job
from handwheel.plan import Plan, Route, plan
from handwheel.program import write_program
from handwheel.proof import SetupProof, prove_setup
from handwheel.setup import Setup, set_up

MM_PER_POINT = 25.4 / 72


@dataclass(frozen=True)
class Lettering:
    """A line of text; its box and the size of its font in mm on paper."""

    text: str
    x0: float
    y0: float
    x1: float
    y1: float
    em: float
    colour: str

    def overlaps(self, other: Lettering) -> bool:
        """Whether the two boxes share more than a tenth of a millimetre."""
        inside = 0.05
        return (
            self.x0 + inside < other.x1 - inside
            and other.x0 + inside < self.x1 - inside
            and self.y0 + inside < other.y1 - inside
            and other.y0 + inside < self.y1 - inside
        )


def proved(job: Job) -> tuple[Setup, Plan, SetupProof]:
    """What every drawing is made from."""
    setup, steps = set_up(job)[0], plan(set_up(job)[0], Route.BY_PROGRAM)
    return setup, steps, prove_setup(setup, write_program(setup, steps), f"{job.name}.nc")


def lettering(figure: Figure) -> list[Lettering]:
    """Every line of text, measured by matplotlib itself."""
    FigureCanvasAgg(figure)
    renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
    mm = 25.4 / figure.dpi
    found = []
    for axes in figure.axes:
        for text in axes.texts:
            box = text.get_window_extent(renderer)
            found.append(
                Lettering(
                    text.get_text(),
                    box.x0 * mm,
                    box.y0 * mm,
                    box.x1 * mm,
                    box.y1 * mm,
                    text.get_fontsize() * MM_PER_POINT,
                    str(text.get_color()),
                )
            )
    return found


def words(figure: Figure) -> str:
    """All lettering, a line each."""
    return "\n".join(one.text for one in lettering(figure))


@st.composite
def drafts_with_sizes(draw: st.DrawFn) -> Draft:
    """Random jobs with up to nine sizes, taken anywhere in the work."""
    draft = draw(drafts())
    box = draft.job().raw_block
    mm = 25.4 if draft.units == "in" else 1.0
    sizes = []
    for index in range(draw(st.integers(0, 9))):
        axis = draw(st.sampled_from("xyz"))
        through = {
            name: round((low + draw(st.integers(1, 19)) / 20 * (high - low)) / mm, 3)
            for name, low, high in zip("xyz", box.low, box.high, strict=True)
            if name != axis
        }
        size = {
            "name": f"size {index}" + draw(st.sampled_from(["", " over the step at the far end"])),
            "axis": axis,
            "through": through,
            "of": draw(st.sampled_from(["outside", "step"])),
            "nominal": round(draw(st.integers(20, 2000)) / 10 / mm, 3),
        }
        if draw(st.booleans()):
            size["plus"], size["minus"] = (round(draw(st.integers(0, 9)) / 50 / mm, 4) for _ in range(2))
        sizes.append(size)
    return replace(draft, dimensions=tuple(sizes))
