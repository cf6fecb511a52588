"""Fits seeded invented practices with lifelines, as a reference for tests/course_learn.rs.

    python3 -m venv venv && venv/bin/pip install lifelines==0.30.3
    venv/bin/python lang/tests/data/learn_lifelines.py

writes learn-sets.csv (the data) and learn-lifelines.json (what lifelines makes of them) beside this file.
Not part of the build: the tests read what is stored.
"""

import json
import math
import pathlib
import random

import lifelines

HERE = pathlib.Path(__file__).parent

# (wires, law, location, shape, days between visits): log-normal mu and sigma, Weibull lambda and rho.
SETS = [
    (25, "log-normal", 0.00, 0.41, 42),
    (60, "log-normal", 0.20, 0.35, 56),
    (60, "log-normal", -0.25, 0.55, 42),
    (120, "log-normal", 0.10, 0.30, 28),
    (200, "log-normal", 0.40, 0.45, 70),
    (400, "log-normal", 0.00, 0.60, 56),
    (40, "weibull", 1.20, 3.00, 42),
    (80, "weibull", 0.90, 1.80, 56),
    (150, "weibull", 1.40, 2.40, 28),
    (300, "weibull", 1.10, 4.00, 70),
]


def draw(random_, law, location, shape):
    if law == "log-normal":
        return math.exp(location + shape * random_.gauss(0, 1))
    return location * (-math.log(1 - random_.random())) ** (1 / shape)


def practice(number, wires, law, location, shape, between):
    """Brackets in ratios of observed to predicted time."""
    random_ = random.Random(1000 + number)
    out = []
    for _ in range(wires):
        predicted = random_.uniform(25, 90)
        passive = predicted * draw(random_, law, location, shape)
        leaves = random_.random() < 0.12
        day, low, high = 0, 0.0, math.inf
        for visit in range(12):
            day += max(14, round(random_.gauss(between, 7)))
            if day >= passive:
                high = day / predicted
                break
            low = day / predicted
            if leaves and visit >= 1:
                break
        out.append((round(low, 6), high if math.isinf(high) else round(high, 6)))
    return out


def fit(brackets):
    low = [b[0] for b in brackets]
    high = [b[1] for b in brackets]
    normal = lifelines.LogNormalFitter().fit_interval_censoring(low, high)
    weibull = lifelines.WeibullFitter().fit_interval_censoring(low, high)
    return {
        "mu": normal.mu_,
        "sigma": normal.sigma_,
        "log_normal": normal.log_likelihood_,
        "lambda": weibull.lambda_,
        "rho": weibull.rho_,
        "weibull": weibull.log_likelihood_,
    }


def main():
    rows, fits = ["set,low,high"], []
    for number, (wires, law, location, shape, between) in enumerate(SETS):
        brackets = practice(number, wires, law, location, shape, between)
        rows += [f"{number},{l},{'' if math.isinf(h) else h}" for l, h in brackets]
        fits.append({"set": number, "wires": wires, "law": law, **fit(brackets)})
    (HERE / "learn-sets.csv").write_text("\n".join(rows) + "\n")
    result = {"made_by": f"lifelines {lifelines.__version__}, learn_lifelines.py", "sets": fits}
    (HERE / "learn-lifelines.json").write_text(json.dumps(result, indent=1) + "\n")


main()
