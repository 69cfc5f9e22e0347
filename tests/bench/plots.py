"""A curve as a picture: both axes in powers of ten, ours and the reference. The same curve gives
the same bytes."""

from __future__ import annotations

import io
from typing import Final

from .rows import Curve, figure, slope

#: Told apart by line and mark as well as by colour, in grey too.
OURS: Final = {"color": "#14496b", "marker": "o", "linestyle": "-", "linewidth": 2}
THEIRS: Final = {
    "color": "#b4601c",
    "marker": "s",
    "markerfacecolor": "white",
    "linestyle": "--",
    "linewidth": 1.5,
}


def picture(curve: Curve) -> str:
    """As SVG."""
    import matplotlib as mpl
    from matplotlib.figure import Figure
    from matplotlib.ticker import NullLocator

    mpl.use("svg")
    with mpl.rc_context({"svg.hashsalt": "drawbag", "svg.fonttype": "none", "font.size": 9}):
        drawn = Figure(figsize=(4.6, 3.0), layout="constrained")
        axes = drawn.add_subplot(xscale="log", yscale="log", xlabel=curve.of, ylabel="ms")
        axes.plot(curve.sizes, curve.ours, label=f"ours, {slope_words(curve.ours, curve)}", **OURS)
        if curve.theirs:
            label = f"{curve.reference}, {slope_words(curve.theirs, curve)}"
            axes.plot(curve.sizes, curve.theirs, label=label, **THEIRS)
        axes.set_xticks(curve.sizes, [f"{size:,}" for size in curve.sizes], minor=False)
        axes.set_xticks([], minor=True)
        axes.yaxis.set_minor_locator(NullLocator())
        axes.grid(color="#d8d8d8", linewidth=0.5)
        axes.set_title(curve.title, fontsize=10)
        axes.legend(frameon=False, fontsize=8)
        out = io.StringIO()
        drawn.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return "".join(line.rstrip() + "\n" for line in out.getvalue().splitlines())


def slope_words(times: tuple[float, ...], curve: Curve) -> str:
    grown = slope(curve.sizes, times)
    return "one size" if grown is None else f"slope {figure(grown)}"
