"""Holds the product's JSON against the recount, leaf by leaf. Part of recount.py.

Every leaf that we counted must be in the product's answer, with the same value; every leaf of the
answer must be one that we counted, or stand in NOT_COUNTED with the reason.
"""

import collections
import math
import re

# By what the rows of a list are told apart. Rows that share it are compared in sorted order.
ROWS = {"due": ("farm", "cow", "place", "foot", "claw", "what"), "vet": ("cow", "place"),
        "lesions": ("letters",), "signs": ("letters",), "washing_before": ("handheld",),
        "facts": ("since",), "cows": ("cow",), "cases": ("case",), "days": ("day",),
        "months": ("month",), "places": ("place",), "earlier_visits": ("day",),
        "lengths": ("dimension",), "groups": ("kind", "code"), "ways": ("action",),
        "treated": ("action",), "gait": ("scale",), "walls": ("place",), "areas": ("case",),
        "lesion_area": ("day",), "dorsal_wall": ("day", "trimmed"), "gauge_checks": ("handheld",),
        "flagged": ("rule", "sentence"), "held": ("rule", "sentence"),
        "zones": ("foot", "claw", "zone"), "only_trimmed": ("foot", "claw"),
        "shorter_than_target": ("cow", "place"), "left_on_too_long": ("cow", "place", "what"),
        "as_drawn": ("action",), "as_used": ("action",), "draws": ("draw",),
        "departures": ("farm", "cow", "day", "foot", "claw"),
        "derived": ("cow", "day", "handheld", "place", "trimmed", "measure"),
        "derived_means": ("measure", "claws", "trimmed"),
        "back": ("farm", "cow"), "chute_order": ("nth",), "notices": ("cow", "place", "notice")}
SENTENCES = {"recheck": "recheck", "recheck; vet if no better": "recheck",
             "take the block off": "block-off",
             "take the wrap off": "wrap-off", "ask what the vet found": "vet", "trim": "trim",
             "look at her in the office": "office"}

# Leaves that the recount says nothing of, and why.
NOT_COUNTED = [re.compile(pattern) for pattern in (
    # Words and names, no counts.
    r"(.*\.)?(name|lesion|sign|tag|called|refused|method|level|source|cautions\..*)",
    r"vet\..*\.why", r"(.*\.)?(groups|treated)\.[^.]*\.what",
    # Statistics: insight-check holds them against other people's programs.
    r".*\.share\.(low|high)", r".*recurrence\.(share|sound_after).*", r".*healing\.area\..*",
    r"area\..*", r"(.*\.)?(half_healed|open_after_28_days|without_form_after_28_days)\..*",
    r"(.*\.)?(curve|band)\..*",
    r"(.*\.)?(after_28_days|weeks|against|p_holm|test|seed|difference)(\..*)?",
    r".*at_recheck\.told\.(low|high)", r".*at_recheck\.refused",
    # What the office was told of a way of gluing, in its own words.
    r"(.*\.)?facts\..*\.(through|material|glue|surface|height_mm)",
    # What makes a comparison unfair, in words.
    r"mind\..*",
    # Not about a cow: entries of no farm, decisions, clocks, gauge blocks that passed.
    r"entries_of_no_known_farm", r"settled\..*", r"summary\.times_estimated", r".*\.passed")]


def heard(answer):
    """The product's answer, with its sentences taken apart."""
    if isinstance(answer, list):
        return [heard(one) for one in answer]
    if not isinstance(answer, dict):
        return answer
    out = {name: heard(value) for name, value in answer.items()}
    if "rule" in out and out.get("what") in SENTENCES:
        rule = out.pop("rule")
        days = re.search(r"(\d+) days?", rule)
        out.update(what=SENTENCES[out["what"]], keyed=rule.startswith("keyed"),
                   days=int(days[1]) if days else None)
    if isinstance(out.get("done"), list):
        out["done"] = len(out["done"])
    return out


def text(value):
    if isinstance(value, dict):
        return " ".join(value[part] for part in ("foot", "claw") if value[part]) or "cow"
    return str(value)


def rows(name, items):
    """A list as a dictionary: by what tells its rows apart, else by position."""
    if name == "intervals":
        items = sorted(items, key=lambda one: (one["after"], one["by"] is None, one["by"]))
    keys, out = ROWS.get(name), {}
    if keys is None or not all(isinstance(item, dict) for item in items):
        if items and all(isinstance(item, str) for item in items):
            # Names and words in any order.
            return {f"{item}#{items[:at].count(item)}" if item in items[:at] else item: item
                    for at, item in enumerate(items)}
        return {str(number): item for number, item in enumerate(items)}
    named = [("/".join(text(item.get(key)) for key in keys if key in item), item)
             for item in items]
    for title, item in sorted(named, key=lambda one: (one[0], str(sorted(leaves(one[1]))))):
        number = sum(other.split("#")[0] == title for other in out)
        out[f"{title}#{number}" if number else title] = item
    return out


def leaves(answer, path="", name=""):
    """Pairs of path and value. An empty list or dictionary has none."""
    if isinstance(answer, list):
        answer = rows(name, answer)
    if isinstance(answer, dict):
        for key, value in answer.items():
            yield from leaves(value, f"{path}.{key}" if path else str(key), str(key))
    else:
        yield path, answer


def agree(ours, theirs):
    """A set of ours holds the values that are all right."""
    if isinstance(ours, (set, frozenset)):
        return any(agree(one, theirs) for one in ours)
    both = (ours, theirs)
    if all(isinstance(one, (int, float)) and not isinstance(one, bool) for one in both):
        return math.isclose(ours, theirs, rel_tol=1e-9, abs_tol=1e-6)
    return type(ours) is type(theirs) and ours == theirs


def missing(those, others):
    """What stands in one answer and not in the other: whole rows where all of the row is missing.
    Nothing to be said is said by null or by leaving it out."""
    there = {path[:end] for path in others for end in ends(path)}
    out = collections.defaultdict(dict)
    for path, value in those.items():
        if path not in others and value is not None:
            row = next(path[:end] for end in ends(path) if path[:end] not in there)
            out[row][path[len(row) + 1:]] = value
    return {row: values[""] if set(values) == {""} else values for row, values in out.items()}


def ends(path):
    return [*(at for at, letter in enumerate(path) if letter == "."), len(path)]


def is_number(value):
    return isinstance(value, (int, float)) and not isinstance(value, bool)


class Comparison:
    """Differences found so far, and how much was compared."""

    def __init__(self, not_counted=()):
        self.numbers = self.words = 0
        self.not_counted = [*NOT_COUNTED, *map(re.compile, not_counted)]
        self.differences = []

    def answer(self, command, ours, theirs):
        ours, theirs = ({path: value for path, value in leaves(answer)
                         if not any(one.fullmatch(path) for one in self.not_counted)}
                        for answer in (ours, heard(theirs)))
        for path, values in missing(ours, theirs).items():
            self.differ(command, path, values, "nothing")
        for path, value in ours.items():
            if path not in theirs:
                continue
            if is_number(theirs[path]):
                self.numbers += 1
            else:
                self.words += 1
            if not agree(value, theirs[path]):
                self.differ(command, path, value, theirs[path])
        for path, values in missing(theirs, ours).items():
            self.differ(command, path, "nothing", values)

    def differ(self, command, path, ours, theirs):
        self.differences.append((command, path, ours, theirs))

    def __str__(self):
        return (f"{self.numbers} numbers and {self.words} words compared, "
                f"{len(self.differences)} differ")

    def tell(self, most=3):
        """Prints the differences, of each kind no more than a few."""
        kinds = collections.defaultdict(list)
        for command, path, ours, theirs in self.differences:
            kind = re.sub(r"[^.]*\d[^.]*", "*", path)
            asked = re.sub(r"\d+", "", command.split(" --")[0])
            kinds[asked, kind].append((command, path, ours, theirs))
        for those in kinds.values():
            for command, path, ours, theirs in those[:most]:
                print(f"  {command}: {path}: counted {ours!r}, hornrule says {theirs!r}")
            if len(those) > most:
                print(f"    and {len(those) - most} more of this kind")
