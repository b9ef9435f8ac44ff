"""Measures derived from lengths, by host/insight/DERIVED.md alone. Part of recount.py.

Slopes and their root of squares are the work of the Python package `uncertainties`; quantiles of
Student's t are found here by integration.
"""

import collections
import functools
import math
import statistics

from uncertainties import ufloat, umath

WALL, HEEL, TOE = 1, 2, 5
DIMENSIONS = (WALL, HEEL, TOE)
OUTER, INNER = 1, 2
HIND = (2, 3)
ROWS = {INNER: ((72.1, 5.0), (75.0, 6.1), (79.8, 7.0)),
        OUTER: ((72.7, 5.0), (75.0, 6.4), (78.4, 7.0))}
TOLD_DEGREES = (15, 70)
HALF_STEP = {0: 0.005, 1: 0.00025 * 25.4}
PERMITTED = 0.03
LEAST_REPEATS = 5
DOUBTING = {"unusual-length", "far-from-history", "far-from-feet", "toe-above-wall", "said-twice"}
FEET, SIDES = ("LF", "RF", "LH", "RH"), {0: None, 1: "lateral", 2: "medial"}

Reading = collections.namedtuple(
    "Reading", "cow day device log seq foot side dimension mm unit trimmed gauge stay doubted")
Line = collections.namedtuple(
    "Line", "measure cow day device foot side trimmed value parts reason inputs")


def readings(herd):
    """Each length of a claw or foot of the herd."""
    remarks = collections.defaultdict(set)
    for device, log, seq, rule in herd.db.execute("SELECT device, log, seq, rule FROM remark"):
        remarks[device, log, seq].add(rule)
    query = ("SELECT animal, day, device, log, seq, foot, side, dimension, length_nm, unit, "
             "trimmed, gauge_ok, presence FROM reading WHERE herd = ? AND animal IS NOT NULL "
             "AND foot IS NOT NULL ORDER BY at_ms, device, log, seq")
    return [Reading(cow, day, device % 2**64, log, seq, foot, side, dimension, nm / 1e6, unit,
                    trimmed, gauge, stay, bool(remarks[device, log, seq] & DOUBTING))
            for cow, day, device, log, seq, foot, side, dimension, nm, unit, trimmed, gauge, stay
            in herd.rows(query)]


def in_stay(one):
    return (one.cow, one.device, one.log, one.stay, one.foot, one.side, one.dimension, one.trimmed)


def on_day(one):
    """As a study and the workbook group repeats."""
    return (one.cow, one.device, one.day, one.foot, one.side, one.dimension, one.trimmed)


def hands(of, same=in_stay):
    """By dimension, technical error of measurement and its degrees of freedom."""
    groups = collections.defaultdict(list)
    for one in of:
        if not one.doubted:
            groups[same(one)].append(one)
    within, spare = collections.Counter(), collections.Counter()
    for group in groups.values():
        lengths = [one.mm for one in group]
        middle = statistics.fmean(lengths)
        within[group[0].dimension] += math.fsum((mm - middle) ** 2 for mm in lengths)
        spare[group[0].dimension] += len(lengths) - 1
    return {dimension: (math.sqrt(within[dimension] / n), n) for dimension, n in spare.items()
            if n >= LEAST_REPEATS and within[dimension] > 0}


def name_of(one):
    return f"{one.device:016x}-{one.log:08x}-{one.seq}"


class Input:
    """A mean of readings as `uncertainties` takes it: every part a variable of its own."""

    def __init__(self, all_of, known, hand=None):
        self.all_of = all_of
        sound = [one for one in all_of if not one.doubted]
        self.used = [one for one in sound if one.gauge != 0]
        self.reason = ("missing" if not all_of else "doubted" if not sound
                       else "failed check" if not self.used else None)
        self.parts = []
        if self.reason:
            return
        steps = max(HALF_STEP[one.unit] for one in self.used)
        self.mm = math.fsum(one.mm for one in self.used) / len(self.used)
        self.parts = [(ufloat(0, half / math.sqrt(3)), math.inf) for half in (steps, PERMITTED)]
        hand = known.get(self.used[0].dimension)
        self.known = hand is not None
        if hand:
            self.parts.append((ufloat(0, hand[0] / math.sqrt(len(self.used))), hand[1]))
        self.length = self.mm + sum(part for part, _ in self.parts)

    def names(self, told):
        return [name_of(one) for one in (self.used if told else self.all_of)]


def line(key, measure, side, inputs, value):
    """`value` makes a reason or a number with uncertainty of the inputs' lengths."""
    cow, day, device, trimmed, foot = key
    answer = next((one.reason for one in inputs if one.reason), None) or value(*inputs)
    told = not isinstance(answer, str)
    # Records of an input that has none but others that were refused are all of them.
    names = sorted((name for one in inputs for name in one.names(one.reason is None)),
                   key=lambda name: [int(part, 16 if at < 2 else 10)
                                     for at, part in enumerate(name.split("-"))])
    parts = None
    if told:
        slopes = answer.error_components()
        parts = [[(slopes.get(part, 0.0), df) for part, df in one.parts] for one in inputs]
        parts = (parts, all(one.known for one in inputs))
    return Line(measure, cow, day, device, foot, side, trimmed,
                answer.nominal_value if told else None, parts, None if told else answer, names)


def angle(height, wall):
    if height.mm > wall.mm:
        return "height above wall"
    degrees = math.degrees(math.asin(height.mm / wall.mm))
    if not TOLD_DEGREES[0] <= degrees <= TOLD_DEGREES[1]:
        return "outside the range"
    return umath.degrees(umath.asin(height.length / wall.length))


def heels(outer, inner):
    return outer.length - inner.length


def sole(side):
    def of(wall):
        for (short, thin), (long, thick) in zip(ROWS[side], ROWS[side][1:]):
            if short <= wall.mm <= long:
                return thin + (thick - thin) / (long - short) * (wall.length - short)
        return "outside the range"
    return of


def lines(of, known):
    """What is derived from readings: by cow, day, handheld, state of trim and foot."""
    feet = collections.defaultdict(lambda: collections.defaultdict(list))
    for one in of:
        if one.side and one.dimension in DIMENSIONS:
            feet[one.cow, one.day, one.device, one.trimmed, one.foot][one.side, one.dimension].append(one)
    for key, own in feet.items():
        def taken(side, dimension):
            return Input(own.get((side, dimension), []), known)
        for side in (OUTER, INNER):
            if (side, TOE) in own:
                yield line(key, "toe angle", side, (taken(side, TOE), taken(side, WALL)), angle)
            if (side, WALL) in own and key[-1] in HIND:
                yield line(key, "sole from wall", side, (taken(side, WALL),), sole(side))
        if (OUTER, HEEL) in own or (INNER, HEEL) in own:
            yield line(key, "heel difference", 0, (taken(OUTER, HEEL), taken(INNER, HEEL)), heels)


@functools.lru_cache(maxsize=None)
def t975(df):
    """The 97.5 % point of Student's t: Simpson's rule over the density, then bisection."""
    if df == math.inf:
        return statistics.NormalDist().inv_cdf(0.975)
    scale = math.exp(math.lgamma((df + 1) / 2) - math.lgamma(df / 2)) / math.sqrt(df * math.pi)

    def above_half(x, pieces=4000):
        h = x / pieces
        at = [scale * (1 + (i * h) ** 2 / df) ** (-(df + 1) / 2) for i in range(pieces + 1)]
        return h / 3 * (at[0] + at[-1] + 4 * math.fsum(at[1:-1:2]) + 2 * math.fsum(at[2:-1:2]))

    low, high = 1.9, 12.8
    for _ in range(45):
        middle = (low + high) / 2
        low, high = (middle, high) if above_half(middle) < 0.475 else (low, middle)
    return (low + high) / 2


def uncertainty(one):
    """Standard, degrees of freedom, expanded, whether only at least so much."""
    by_input, known = one.parts
    parts = [part for own in by_input for part in own if part[0]]
    if one.measure == "heel difference":
        # The hand of both heels is one estimate.
        by_hand = [part for part in parts if part[1] != math.inf]
        parts = [part for part in parts if part[1] == math.inf]
        if by_hand:
            parts.append((math.hypot(*(own for own, _ in by_hand)), by_hand[0][1]))
    variance = math.fsum(own**2 for own, _ in parts)
    below = math.fsum(own**4 / df for own, df in parts)
    df = max(1, math.floor(variance**2 / below)) if below else math.inf
    return math.sqrt(variance), df, t975(df) * math.sqrt(variance), (
        # How much single claws differ from the mean nobody says.
        not known or one.measure == "sole from wall")


def is_said(one):
    return (one.measure, one.reason) != ("sole from wall", "outside the range")


def unit(measure):
    return "deg" if measure == "toe angle" else "mm"


def row(one, iso):
    """As JSON answers have it."""
    out = {"measure": one.measure, "unit": unit(one.measure), "day": iso(one.day),
           "handheld": f"{one.device:016x}", "trimmed": bool(one.trimmed), "inputs": one.inputs,
           "place": {"foot": FEET[one.foot], "claw": SIDES[one.side]}}
    if one.reason:
        return {**out, "not_derived": one.reason}
    standard, df, expanded, least = uncertainty(one)
    return {**out, "value": one.value, "standard_uncertainty": standard,
            "df": None if df == math.inf else df, "uncertainty": expanded,
            "uncertainty_at_least": least}


def means(of):
    """Means with cows as clusters. `of` is lines, each with a name of its cow's herd."""
    groups = collections.defaultdict(list)
    for herd, one in of:
        groups[one.measure, one.foot in HIND, bool(one.trimmed)].append((herd, one))
    out = []
    for (measure, hind, trimmed), own in groups.items():
        cows = collections.defaultdict(list)
        reasons = collections.Counter(one.reason for _, one in own if one.reason)
        for herd, one in own:
            if one.reason is None:
                cows[herd, one.cow].append(one.value)
        values = [value for hers in cows.values() for value in hers]
        line = {"measure": measure, "unit": unit(measure), "claws": "hind" if hind else "front",
                "trimmed": trimmed, "values": len(values), "cows": len(cows),
                "not_derived": dict(reasons), "least": min(values, default=None),
                "most": max(values, default=None)}
        if len(cows) > 2:
            mean, m = math.fsum(values) / len(values), len(cows)
            off = math.fsum(math.fsum(value - mean for value in hers) ** 2 for hers in cows.values())
            error = math.sqrt(m / (m - 1) * off) / len(values)
            if error > 0:
                reach = t975(m - 1) * error
                line.update(mean=mean, standard_error=error, low=mean - reach, high=mean + reach)
        out.append(line)
    return out


@functools.lru_cache(maxsize=None)
def readings_of(herd):
    return readings(herd)


def of_days(herd, first, last):
    """The lines of a span of days, with the hand as it is known at its end."""
    until = [one for one in readings_of(herd) if one.day <= last]
    return list(lines([one for one in until if one.day >= first], hands(until)))


@functools.lru_cache(maxsize=None)
def of_herd(herd):
    return of_days(herd, 0, 2**40)


def visit(herd, day, iso):
    own = of_days(herd, day, day)
    return {"derived": [dict(row(one, iso), cow=one.cow) for one in own if is_said(one)],
            "derived_means": means([(herd.number, one) for one in own])}


def cow(herd, number, iso):
    return {"derived": [row(one, iso) for one in of_herd(herd)
                        if one.cow == number and is_said(one)]}


def farm(herd, first, last):
    return {"derived_means": means([(herd.number, one) for one in of_days(herd, first, last)])}
