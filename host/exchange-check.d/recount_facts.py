"""From the herd tables to the facts of each cow. Part of recount.py, which says what for."""

import collections
import datetime
import functools
import pathlib
import sqlite3

from recount_cases import DEAD, NOT_BROUGHT, SOLD, Fact, casebook_of, name_of
from recount_duties import RULES, duties_of
from recount_spread import spread

DOUBTED = ("unusual-length", "far-from-history", "far-from-feet", "toe-above-wall")
EVER = 2**40
WHO = "animal, day, at_ms, device, log, seq, foot, side"
TABLES = (
    ("FIND", f"SELECT {WHO}, lesion, grade, 0 FROM finding WHERE herd = ?"),
    ("DO", f"SELECT {WHO}, action, days, 0 FROM action WHERE herd = ?"),
    ("SIZE", f"SELECT {WHO}, dimension, length_nm / 1e6, trimmed FROM reading "
             "WHERE herd = ? AND animal IS NOT NULL"),
    ("SCORE", f"SELECT {WHO}, scale, value, 0 FROM score WHERE herd = ?"),
    ("TOLD", "SELECT animal, day, at_ms, 0, 0, closing, foot, side, duty, 0, 0 "
             "FROM closing WHERE herd = ? AND holds = 1 AND NOT EXISTS (SELECT 1 FROM closing AS back "
             "WHERE back.holds = 0 AND back.closing > closing.closing AND back.herd = closing.herd "
             "AND back.animal = closing.animal AND back.duty = closing.duty "
             "AND back.day = closing.day AND back.foot IS closing.foot "
             "AND back.side = closing.side)"))


def opened(path):
    uri = pathlib.Path(path).resolve().as_uri()
    return sqlite3.connect(f"{uri}?mode=ro", uri=True)


def date_of(day):
    return datetime.date(1970, 1, 1) + datetime.timedelta(days=day)


def number_of(date):
    return (date - datetime.date(1970, 1, 1)).days


class Herd:
    """One herd's facts, cow by cow. The repetition of a sentence is no fact."""

    def __init__(self, db, number):
        self.db, self.number = db, number
        self.name, target_nm = db.execute(
            "SELECT name, target_nm FROM herd WHERE herd = ?", (number,)).fetchone()
        self.target = target_nm and target_nm / 1e6
        self.names, self.groups, self.listed = {}, {}, set()
        for cow, name, group, in_herd in self.rows("SELECT animal, name, pen, in_herd FROM animal "
                                                   "WHERE herd = ?"):
            self.names[cow], self.groups[cow] = name, group
            if in_herd:
                self.listed.add(cow)
        self.kinds = {cow: (breed, lactation) for cow, breed, lactation in self.rows(
            "SELECT animal, breed, lactation FROM animal WHERE herd = ?")}
        self.gone = set(self.names) - self.listed
        self.chute = sorted(set(self.rows("SELECT day, animal FROM presence WHERE herd = ?")))
        self.rules = dict(RULES, **dict(db.execute("SELECT name, days FROM due_rule")))
        self.zones = {tuple(record): zone for *record, zone in self.rows(
            "SELECT device, log, seq, zone FROM finding WHERE herd = ?")}
        self.said, self.facts = self.read_facts()

    def rows(self, query, *more):
        return self.db.execute(query, (self.number, *more)).fetchall()

    def read_facts(self):
        remarks = collections.defaultdict(set)
        for device, log, seq, rule in self.db.execute("SELECT device, log, seq, rule FROM remark"):
            remarks[device, log, seq].add(rule)
        said, twice = collections.defaultdict(list), set()
        for what, query in TABLES:
            for cow, day, at, device, log, seq, foot, side, code, value, after in self.rows(query):
                rules = remarks[device, log, seq] if what != "TOLD" else set()
                fact = Fact(day, at, device % 2**64, log, seq, what, foot, side, code, value,
                            after, not rules.isdisjoint(DOUBTED))
                said[cow].append(fact)
                if "said-twice" in rules:
                    twice.add(name_of(fact))
        said = {cow: sorted(spread(hers, twice)) for cow, hers in said.items()}
        return said, {cow: [fact for fact in hers if name_of(fact) not in twice]
                      for cow, hers in said.items()}

    def zone_keyed(self, fact):
        device = fact.device if fact.device < 2**63 else fact.device - 2**64
        return self.zones[device, fact.log, fact.seq]

    def cows(self):
        return sorted({*self.facts, *self.names})

    def facts_on(self, cow, day, what=None):
        """Of her facts of a day, all or of one kind; what the office was told stands in no table
        of the day."""
        return [fact for fact in self.facts.get(cow, []) if fact.day == day
                and (fact.what == what if what else fact.what != "TOLD")]

    def said_on(self, cow, day):
        """With what was said twice."""
        return [fact for fact in self.said.get(cow, []) if fact.day == day and fact.what != "TOLD"]

    def handhelds(self, day):
        """Those that recorded something of a cow on a day."""
        devices = {device for device, in self.rows("SELECT device FROM presence WHERE herd = ? "
                                                   "AND day = ?", day)}
        return [f"{device % 2**64:016x}" for device in sorted(devices)]

    @functools.lru_cache(maxsize=None)
    def books(self, through=EVER):
        """Each cow's casebook, of what was said through a day."""
        return {cow: casebook_of([fact for fact in facts if fact.day <= through])
                for cow, facts in self.facts.items()}

    def book(self, cow, through=EVER):
        return self.books(through).get(cow) or casebook_of([])

    def entries(self, name, through=EVER):
        return [(cow, one) for cow, book in self.books(through).items() for one in book[name]]

    def seen(self, first, last):
        """The cows in the chute: sorted pairs of day and number."""
        return [(day, cow) for day, cow in self.chute if first <= day <= last]

    def visits(self):
        return sorted({day for day, _ in self.chute})

    def told(self, cow, day, codes):
        """What the office was told of her, through a day."""
        return [fact for fact in self.facts.get(cow, []) if fact.what == "TOLD"
                and fact.code in codes and fact.day <= day]

    def back(self, cow, day):
        """The last note that she left, and the first day on which she was there after it."""
        left = self.told(cow, day, (SOLD, DEAD))
        if not left:
            return None
        last = max(fact.day for fact in left)
        seen = [on for on, animal in self.chute if animal == cow and last < on <= day]
        return last, min(seen, default=None)

    def not_brought(self, cow, due, day):
        """Days of visits without her after a day, and days noted from that day on."""
        there = {on for on, animal in self.chute if animal == cow}
        without = {on for on in self.visits() if due < on <= day} - there
        return without | {fact.day for fact in self.told(cow, day, (NOT_BROUGHT,))
                          if fact.day >= due}

    def duties(self, cow, day):
        """What is due on her; a cow that has left the herd owes nothing."""
        left = self.back(cow, day)
        if cow in self.gone or left and left[1] is None:
            return []
        return duties_of(self.facts.get(cow, []), self.rules, day)


def herds(db):
    return [Herd(db, number) for number, in db.execute("SELECT herd FROM herd ORDER BY herd")]
