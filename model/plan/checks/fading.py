"""Checks on even light: bars that fade along their length, and steps from bar to bar."""

from collections.abc import Iterator

from pelmet.model.plan.finding import Finding, said
from pelmet.model.plan.result import Plan


def bar_fades(plan: Plan) -> Iterator[Finding]:
    """A bar loses more of its light along its length than the allowance."""
    most = float(plan.job.allowances.light_fade)
    faded = [light for light in plan.fadings.bars if float(light.lost.value) > most]
    if not faded:
        return
    run_of = {bar.id: bar.run for bar in plan.bars}
    runs = {run.id: run for run in plan.job.runs}
    for light in faded:
        run = runs[run_of[light.bar]]
        yield Finding(
            "warn",
            "bar-fades",
            "run",
            run.id,
            "feed_end",
            f"{light.bar} loses {said(light.lost.value)} % of its light from its brightest point "
            f"to its faintest, over {said(most)} %",
            f"feed it at both ends or in its middle, or take regulated strip; F8 on {run.leg} "
            "tries what there is",
        )


def light_step(plan: Plan) -> Iterator[Finding]:
    """Two bars that meet in one line differ in light by more than the allowance."""
    most = float(plan.job.allowances.light_step)
    apart = [step for step in plan.fadings.steps if float(step.step.value) > most]
    if not apart:
        return
    run_of = {bar.id: bar.run for bar in plan.bars}
    runs = {run.id: run for run in plan.job.runs}
    for step in apart:
        left, right = (runs[run_of[bar]] for bar in (step.left_bar, step.right_bar))
        alike = (left.strip, left.diffuser) == (right.strip, right.diffuser)
        yield Finding(
            "warn",
            "light-step",
            "run",
            right.id,
            "feed_end" if alike else "strip",
            f"{step.left_bar} and {step.right_bar} differ by {said(step.step.value)} % in light "
            f"where they meet, over {said(most)} %",
            f"feed both ends, or take thicker cable or regulated strip; F8 on {right.leg} tries "
            "what there is"
            if alike
            else "take the same strip and diffuser for all that is seen in one line",
        )


CHECKS = (bar_fades, light_step)
