"""Holds `hornrule blocks` against other programs: lifelines, and R's survival where Rscript is there.

    python3 -m venv v && v/bin/pip install numpy lifelines
    v/bin/python host/insight-check/check.py hornrule hornrule-demo/season.db

Reads each way's intervals from `hornrule blocks --json` and computes the share still on after 28 days and
the log-likelihood of the curve without a form again. Says what differs by how much; ends with 1 where a
difference is above its tolerance.
"""

import json
import math
import shutil
import subprocess
import sys

import numpy as np
from lifelines import WeibullFitter

DAYS = 28.0


def plain_em(seen):
    """Turnbull's log-likelihood by the plainest expectation-maximisation there is."""
    ends = sorted([(a, 1) for a, _ in seen] + [(b, 0) for _, b in seen])
    places = sorted({(l[0], r[0]) for l, r in zip(ends, ends[1:]) if l[1] == 1 and r[1] == 0})
    inside = np.array([[a <= q and p <= b for q, p in places] for a, b in seen], float)
    mass = np.ones(len(places)) / len(places)
    for _ in range(100_000):
        new = mass * (inside.T @ (1 / (inside @ mass))) / len(seen)
        if np.abs(new - mass).max() < 1e-14:
            break
        mass = new
    return float(np.log(inside @ mass).sum())


def by_lifelines(seen):
    # Their curve wants no zero at the left; a hair above it changes nothing at four places.
    left = [max(a, 1e-9) for a, _ in seen]
    fit = WeibullFitter().fit_interval_censoring(left, [b for _, b in seen])
    return math.exp(-((DAYS / fit.lambda_) ** fit.rho_))


def by_r(seen):
    left = ",".join("NA" if a == 0 else repr(a) for a, _ in seen)
    right = ",".join("NA" if math.isinf(b) else repr(b) for _, b in seen)
    program = f"""library(survival); f <- survreg(Surv(c({left}), c({right}), type="interval2") ~ 1)
cat(exp(-exp((log({DAYS}) - f$coef) / f$scale)))"""
    return float(subprocess.check_output(["Rscript", "-e", program], text=True))


def main():
    hornrule, database = sys.argv[1:3]
    told = subprocess.check_output([hornrule, "--db", database, "blocks", "--json"], text=True)
    bad = 0
    for way in json.loads(told)["ways"]:
        seen = [(one["after"], math.inf if one["by"] is None else one["by"]) for one in way["intervals"]]
        ours = way["after_28_days"]["told"]["value"]
        curve = way["curve"]["told"]["log_likelihood"]
        checks = [
            ("Turnbull log-likelihood, plain EM", curve, plain_em(seen), 1e-6),
            ("share after 28 days, lifelines", ours, by_lifelines(seen), 1e-4),
        ]
        if shutil.which("Rscript"):
            checks.append(("share after 28 days, R survreg", ours, by_r(seen), 1e-5))
        for what, one, other, within in checks:
            off = abs(one - other)
            bad += off > within
            print(f"{way['action']}  {what}: {one:.7f} and {other:.7f}, {'ok' if off <= within else 'OFF'}")
    sys.exit(bad > 0)


main()
