"""One trial of a thousand, ten and a hundred thousand shoots: our restricted maximum likelihood beside lme4's."""

from __future__ import annotations

import shutil
import statistics
import subprocess
import time
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from bench.work import Work
from rootcase.science.trials.reml import TERMS, Fit, Term, fit_reml
from tests.reference.lme4 import write
from tests.science.trials.layouts import Layout, simulated

SHAPES = {"1e3": (5, 10, (2, 2), 5), "1e4": (20, 20, (2, 3), 5), "1e5": (50, 40, (2, 3), 10)}
"""Sites, trees of each, years before and after, shoots of a tree and year."""
MODELS: dict[str, tuple[Term, ...]] = {"nested": ("site", "tree", "tree_year"), "full": TERMS}
BARS = {("nested", "1e3"): 3, ("nested", "1e4"): 6, ("nested", "1e5"): 50, ("full", "1e3"): 1, ("full", "1e5"): 3}
NOT_HERE = "R is not here"


@cache
def layout(size: str) -> Layout:
    return simulated(*SHAPES[size], (3.0, 1.0, 2.5, 1.2, 4.0), 2.0, np.random.default_rng(9))


def fitted(size: str, model: str) -> Fit:
    """From the single readings: their means are part of the work."""
    return fit_reml(layout(size).cells, MODELS[model])


def lme4_seconds() -> dict[tuple[str, str], tuple[float, float]]:
    """Seconds and standard error by model and size; empty without R."""
    if not shutil.which("Rscript"):
        return {}
    with TemporaryDirectory() as folder:
        for size in SHAPES:
            write(layout(size), Path(folder) / f"{size}.csv")
        asked = subprocess.run(["Rscript", str(Path(__file__).with_name("lme4.R")), folder], capture_output=True,
                               text=True, check=False)
    if asked.returncode:
        raise SystemExit(asked.stderr)
    rows = [line.split() for line in asked.stdout.splitlines()]
    return {(model, size): (float(seconds), float(error)) for size, model, seconds, error in rows}


def about() -> Work:
    theirs, told = lme4_seconds(), []
    for model, size in ((model, size) for model in MODELS for size in SHAPES):
        fitted(size, model)
        taken = []
        for _ in range(3):
            start = time.perf_counter()
            fit = fitted(size, model)
            taken.append(time.perf_counter() - start)
        if (model, size) in theirs:
            seconds, error = theirs[model, size]
            bar = f", bar {BARS[model, size]}" if (model, size) in BARS else ""
            told.append(f"{model} {size}: {seconds / statistics.median(taken):.1f} times as fast as lme4's "
                        f"{seconds:.2f} s{bar}, error {fit.covariance[3, 3] ** 0.5 / error - 1:+.0e} beside its")
    return Work(what="Restricted maximum likelihood of trials of 1e3, 1e4 and 1e5 shoots, from the single readings; "
                     "`nested` has site, tree and tree-year, `full` site-years too. Medians of three beside lme4 in "
                     f"one run: {'; '.join(told) or NOT_HERE}.", unit="trial", units=1)


def run() -> Mapping[str, Callable[[], object]]:
    return {f"{model} {size}": lambda model=model, size=size: fitted(size, model)  # type: ignore[misc]
            for size in SHAPES for model in MODELS}
