"""The worked histories of casebook/CASES.md, run through recount_cases.py."""

import re

from recount_cases import FEET, LETTERS, LET_GO, SIDES, SIGNS, Fact, casebook_of, place_text
from recount_spread import spread


def fact_of(line, number):
    """`14 LH outer FIND 13 2` and the like. The order of lines is the order of time."""
    day, foot, side, what, code, value = re.fullmatch(
        r"(\d+)\s+(cow|LF|RF|LH|RH)(?: (outer|inner))? (FIND|DO|SIZE|SCORE) (\d+)(?: (\d+))?",
        line.strip()).groups()
    return Fact(int(day), number, 0, 0, number, what, None if foot == "cow" else FEET.index(foot),
                SIDES.index(f" {side}" if side else ""), int(code), int(value or 0), 0, False)


def told(book):
    """A casebook in the words of the histories."""
    lines = []
    for case in book["cases"]:
        again = "again" if case["again"] else "new"
        parts = [f"case {place_text(case['place'])} {LETTERS[case['lesion']]} {again} "
                 f"{case['found']}", f"grade {case['grade']}"]
        if case["looks"]:
            parts.append(" ".join(["looks", *map(str, case["looks"])]))
        if case["how"]:
            parts.append(case["how"] + (f" {case['closed']}" * (case["how"] != "out of sight")))
        parts += [f"area {day} {area:.1f}" for day, area in case["sizes"]]
        if case["done"]:
            parts.append(" ".join(["done", *map(str, case["done"])]))
        lines.append(", ".join(parts))
    for block in book["blocks"]:
        since = f"way {block['way']} glued" if block["way"] is not None else "first seen"
        parts = [f"block {place_text(block['place'])} {since} {block['since']}"]
        if block["seen"]:
            parts.append(" ".join(["seen", *map(str, block["seen"])]))
        why = f" {block['why']}" if block["why"] else ""
        parts += [f"{block['how']} {block['end']}{why}"] * bool(block["how"])
        parts += [word for word in ("cold", "wet") if block[word]]
        lines.append(", ".join(parts + ["failed"] * (block["why"] in LET_GO)))
    for wrap in book["wraps"]:
        parts = [f"wrap {place_text(wrap['place'])} on {wrap['on']}"]
        lines.append(", ".join(parts + [f"{wrap['how']} {wrap['end']}"] * bool(wrap["how"])))
    lines += [f"trimmed {place_text(one['place'])} {one['day']}" for one in book["trimmings"]]
    for one in book["referrals"]:
        days = " ".join(map(str, one["days"]))
        answered = "" if one["answered"] is None else f", answered {one['answered']}"
        lines.append(f"referral {place_text(one['place'])} {one['urgency']} {days}{answered}")
    lines += [f"sign {place_text(place)} {SIGNS[sign]} {day}" for day, place, sign in book["signs"]]
    for one in book["office"]:
        answered = "" if one["answered"] is None else f", answered {one['answered']}"
        lines.append(f"office cow {' '.join(map(str, one['days']))}{answered}")
    return lines


def run_histories(text, quiet=False):
    """Prints each history that comes out otherwise; how many there are, and how many do."""
    histories = re.findall(r"^```history\n(.*?)^```", text, re.MULTILINE | re.DOTALL)
    wrong = 0
    for history in histories:
        given, expected = history.split("=>\n")
        title, *lines = given.strip().splitlines()
        book = casebook_of(spread([fact_of(line, number) for number, line in enumerate(lines)]))
        ours, expected = told(book), expected.strip().splitlines()
        # Signs likewise.
        if not any(line.startswith("sign") for line in expected):
            ours = [line for line in ours if not line.startswith("sign")]
        # A history tells the days of examination only where they are its point.
        if any(line.startswith("examined") for line in expected):
            ours.append(" ".join(["examined", *map(str, book["examined"])]))
        if sorted(ours) != sorted(expected):
            wrong += 1
            if quiet:
                continue
            print(f"{title}\n  CASES.md says:", *sorted(expected), sep="\n    ")
            print("  counted again:", *sorted(ours), sep="\n    ")
    return len(histories), wrong
