"""The swim's picture redrawn under a finger, on a slowed Chromium.

From a slider's event until all is reckoned, drawn and laid out anew: the median of a few steps of
the slider, each in a frame of its own, and the least of so many rounds of that, since other work on
the machine only lengthens it. Beside it what one feed's even sample takes on the same page.
"""

from __future__ import annotations

from tests.bench import bench_bank as bank  # sets Django up as it is read
from tests.bench.parts import part, run
from tests.bench.rows import QUICK, Row, quarters, tell

ROUNDS = 4 if QUICK else 15
STEPS = 12
SLIDERS = ("depth", "speed", "settles")
DRAG = """async ({ slider, steps }) => {
  const { landingOf } = await import("/static/bank/reckon/landing.js");
  const screen = document.querySelector("screen-swim");
  const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const water = { depth: 2.4, speed: 0.35, exponent: 6, celsius: 9, fishDepth: 2.4, wind: 3 };
  const swim = { ...water, depthSd: 0.12, speedSd: 0.035 };
  const caster = { name: "caster", sink: 0.045, sinkSd: 0.006, throwSd: 0.25 };
  const redraws = [], samples = [];
  for (let n = 0; n < steps; n++) {
    const input = document.querySelector(`#swim-${slider}`);
    const range = Number(input.max) - Number(input.min);
    input.value = String(Number(input.min) + range * (0.2 + (0.5 * n) / steps));
    await frame();
    const start = performance.now();
    input.dispatchEvent(new Event("input", { bubbles: true }));
    await screen.updateComplete;
    document.body.getBoundingClientRect();
    const drawn = performance.now();
    landingOf(caster, swim, 3);
    redraws.push(drawn - start);
    samples.push(performance.now() - drawn);
  }
  const middle = (times) => times.sort((a, b) => a - b)[Math.floor(times.length / 2)];
  return [middle(redraws), middle(samples)];
}"""


def main() -> None:
    with bank.on_a_phone() as made:
        phone = made()
        phone.sign_in()
        phone.take_along()
        phone.page.goto(f"/bank/#/match/{phone.match}/swim")
        phone.page.locator("swim-more table").first.wait_for()
        phone.slow()
        for slider in SLIDERS:
            with part(f"swim redrawn, {slider} dragged"):
                asked = {"slider": slider, "steps": STEPS}
                runs = [phone.page.evaluate(DRAG, asked) for _ in range(ROUNDS)]
                took, sample = (min(run[part] for run in runs) for part in (0, 1))
                middle = sorted(run[0] for run in runs)[ROUNDS // 2]
                tell(
                    Row(
                        f"swim redrawn, {slider} dragged",
                        f"{bank.SLOWER} times slower",
                        ours=took,
                        reference="one feed's even sample",
                        theirs=sample,
                        ratio=took / sample,
                        spread=quarters([run[0] / run[1] for run in runs]),
                        aims=("swim-redraw",),
                        said=f"the middle round {middle:.1f} ms",
                    )
                )
        phone.context.close()


if __name__ == "__main__":
    run(main)
