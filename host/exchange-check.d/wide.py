"""What was done, place by place: a word said of a foot or of all four stands in files once for each claw
or foot that it is read as (recount_spread.py), named after its record and the place."""

import collections

from harness import record
from recount_cases import FEET
from recount_facts import herds, opened

SIDES = {0: "", 1: "-lateral", 2: "-medial"}
Done = collections.namedtuple("Done", "name at code foot side")


def done(bench):
    """Every action by its record: lists of Done, empty where the words before had said it all."""
    by_record = {(device % 2**64, log, seq): []
                 for device, log, seq in bench.rows("SELECT device, log, seq FROM action")}
    db = opened(bench.path(bench.db))
    for herd in herds(db):
        for fact in (fact for hers in herd.said.values() for fact in hers if fact.what == "DO"):
            name = record(fact.device, fact.log, fact.seq)
            if fact.whole:
                name += f"-{FEET[fact.foot]}{SIDES[fact.side]}"
            by_record[fact.device, fact.log, fact.seq].append(
                Done(name, fact.at, fact.code, fact.foot, fact.side))
    db.close()
    return by_record
