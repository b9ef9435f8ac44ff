"""Bills counted again, from questions/src/bill/BILLS.md and the tables alone: lines, tax, difference
after a correction, payments, what is open and overdue. Part of recount.py, which says what for.

Works in a copy of the season's database: bills are issued there with free lines, a block of each is
discarded, credit notes follow, payments are noted and taken back, all by chance from a fixed seed.
"""

import collections
import copy
import datetime
import decimal
import json
import random
import shutil
import subprocess
import tomllib

from harness import fails, same
from recount_cases import REASONS
from recount_facts import date_of, herds, opened

SEED = 20260317
TRIMMED, BLOCK_OFF, WRAP_ON = 30, 41, 21
BLOCK_ON = range(10, 20)
ITEMS = ("call-out", "cow", "cow-seen", "block", "block-off", "wrap")
MINOR = decimal.Decimal("0.01")
ZERO = decimal.Decimal("0.00")
# In both ways of pricing, with two rates and odd prices.
PRICES = """currency = "EUR"
prices = "{way}"
pay-within = {days}
series = "{way}-{{year}}"
[tax]
standard = 19
low = 7.7
[item.call-out]
price = "33.33"
tax = "standard"
[item.cow]
price = "11.15"
tax = "standard"
[item.cow-seen]
price = "4.05"
[item.block]
price = "17.35"
tax = "low"
[item.block-off]
price = "3.15"
tax = "low"
[item.wrap]
price = "5.95"
tax = "low"
[line.travel]
price = "0.57"
unit = "km"
tax = "standard"
[line.hours]
price = "47.77"
unit = "h"
tax = "low"
"""


def money(text):
    return decimal.Decimal(text)


def rounded(amount):
    """To the minor unit, a half away from zero."""
    return amount.quantize(MINOR, decimal.ROUND_HALF_UP)


def counted(herd, day):
    """What was done on a day, by item."""
    seen = {cow for on, cow in herd.chute if on == day}
    done = [(cow, fact) for cow in herd.facts for fact in herd.facts_on(cow, day, "DO")]
    trimmed = {cow for cow, fact in done if fact.code == TRIMMED}

    def places(*codes):
        return len({(cow, fact.foot, fact.side) for cow, fact in done if fact.code in codes})

    numbers = (1 if seen else 0, len(trimmed), len(seen - trimmed),
               sum(fact.code in BLOCK_ON for _, fact in done), places(BLOCK_OFF, *REASONS), places(WRAP_ON))
    return {item: n for item, n in zip(ITEMS, numbers) if n}


class Prices:
    def __init__(self, text):
        self.list = tomllib.loads(text)
        self.gross = self.list["prices"] == "gross"

    def of(self, kind, name):
        entry = self.list[kind][name]
        return money(entry["price"]), money(str(self.list["tax"].get(entry.get("tax"), 0)))

    def line(self, day, item, quantity):
        price, rate = self.of("item", item)
        return (date_of(day).isoformat(), item, quantity, price, quantity * price, rate)

    def free(self, item, quantity):
        price, rate = self.of("line", item)
        return (item, self.list["line"][item]["unit"], quantity, price,
                rounded(quantity * price), rate)

    def taxes(self, lines):
        """Net and tax by rate, over the sum of its lines, rounded once."""
        sums = collections.defaultdict(lambda: ZERO)
        for line in lines:
            sums[line[-1]] += line[-2]
        taxes = {}
        for rate, total in sorted(sums.items()):
            if self.gross:
                tax = rounded(total * rate / (100 + rate))
                taxes[rate] = (total - tax, tax)
            else:
                taxes[rate] = (total, rounded(total * rate / 100))
        return taxes


def told(answer):
    """A bill of the program's JSON in the same values."""
    lines = [(one["day"], one["item"], one["quantity"], money(one["price"]), money(one["amount"]),
              money(one["tax_percent"])) for one in answer["lines"]]
    free = [(one["item"], one["unit"], money(one["quantity"]), money(one["price"]),
             money(one["amount"]), money(one["tax_percent"])) for one in answer["free_lines"]]
    taxes = {money(one["tax_percent"]): (money(one["net"]), money(one["tax"]))
             for one in answer["taxes"]}
    return {"lines": lines, "free": free, "taxes": taxes,
            "sums": tuple(money(answer[name]) for name in ("net", "tax", "gross"))}


def expected(lines, free, taxes):
    net = sum((one[0] for one in taxes.values()), ZERO)
    tax = sum((one[1] for one in taxes.values()), ZERO)
    return {"lines": lines, "free": free, "taxes": taxes, "sums": (net, tax, net + tax)}


class Office:
    """The program on a copy of the season, at a pretended time."""

    def __init__(self, bench):
        self.binary = bench.binary
        self.folder = bench.path("bills")
        self.folder.mkdir(exist_ok=True)
        self.db = str(self.folder / "herd.db")
        shutil.copy(bench.path("hornrule-demo/season.db"), self.db)
        self.now = datetime.date(2026, 3, 20)
        self.chance = random.Random(SEED)
        # What was issued, by the number of the first bill: (number, gross, due) of each paper,
        # credits and payments.
        self.accounts = {}

    def run(self, *words):
        done = subprocess.run(
            [self.binary, "--db", self.db, "--pretend-now", f"{self.now}T12:00:00Z", *words],
            capture_output=True, text=True)
        if done.returncode:
            raise AssertionError(f"{words}: exit {done.returncode}: {done.stderr}")
        return done.stdout

    def ask(self, *words):
        return json.loads(self.run(*words, "--json"))

    def herds(self):
        return [herd for herd in herds(opened(self.db)) if herd.visits()]

    def prices(self, way, days):
        text = PRICES.format(way=way, days=days)
        file = self.folder / f"{way}.toml"
        file.write_text(text, encoding="utf-8")
        return Prices(text), ("--prices", str(file))

    def issue(self, herd, days, prices, on):
        """A bill of some visits and two free lines."""
        lines = [prices.line(day, item, n) for day in days for item, n in counted(herd, day).items()]
        wanted = [(item, money(f"{self.chance.randint(1, 400_000)}") / 1000)
                  for item in ("travel", "hours")]
        free = [prices.free(*one) for one in wanted]
        words = [word for item, n in wanted for word in ("--line", item, str(n))]
        first, last = date_of(days[0]).isoformat(), date_of(days[-1]).isoformat()
        ask = ("--herd", herd.name, "--from", first, "--until", last, *on, *words)
        ours = expected(lines, free, prices.taxes(lines + free))
        same(ours, told(self.ask("bill", "draft", *ask)), "a draft")
        bill = self.ask("bill", "issue", *ask, "--who", "A", "--with-held", "a check")
        same(ours, told(bill), "a bill")
        same(ours, told(self.ask("bill", "show", bill["number"])), "a bill shown")
        self.accounts[bill["number"]] = {
            "farm": herd.name, "papers": [(bill["number"], ours["sums"][2], bill["due"])],
            "credited": ZERO, "payments": {}}
        return bill["number"], lines, ours

    def discard_a_block(self, herd, days):
        """One action that glued a block on goes from the records."""
        blocks = [fact for cow in herd.facts for day in days
                  for fact in herd.facts_on(cow, day, "DO") if fact.code in BLOCK_ON]
        if not blocks:
            return False
        fact = self.chance.choice(blocks)
        self.run("review", "decide", str(fact.seq), "--handheld", f"{fact.device:016x}", "--log",
                 f"{fact.log:08x}", "--discard", "--who", "A", "--why", "a check")
        return True

    def credit(self, number, lines, ours, herd, days, prices, on):
        """The difference after that, by the counts of now."""
        now = {(date_of(day).isoformat(), item): n
               for day in days for item, n in counted(herd, day).items()}
        changed = [(day, item, now.get((day, item), 0) - n, price, (now.get((day, item), 0) - n) * price,
                    rate) for day, item, n, price, _, rate in lines if now.get((day, item), 0) != n]
        note = self.ask("bill", "credit", number, *on, "--who", "A", "--why", "x", "--with-held", "x")
        difference = expected(changed, [], prices.taxes(changed))
        same(difference, told(note), "a credit note")
        self.accounts[number]["credited"] -= difference["sums"][2]
        return difference

    def take_all_back(self, number, given, on):
        """All of it: of each rate what still stands."""
        note = told(self.ask("bill", "credit", number, *on, "--whole", "--who", "A", "--why", "x"))
        left = collections.defaultdict(lambda: (ZERO, ZERO))
        for one in given:
            for rate, (net, tax) in one["taxes"].items():
                left[rate] = (left[rate][0] - net, left[rate][1] - tax)
        same({rate: both for rate, both in left.items() if any(both)}, note["taxes"], "taken back")
        same(note["free"], [(item, unit, -n, price, -amount, rate)
                            for item, unit, n, price, amount, rate in given[0]["free"]], "free lines")
        self.accounts[number]["credited"] -= note["sums"][2]
        same(self.open(number), ZERO, "open after all was taken back")

    def open(self, number):
        account = self.accounts[number]
        owed = sum((gross for _, gross, _ in account["papers"]), ZERO)
        return owed - account["credited"] - sum(account["payments"].values(), ZERO)

    def pay(self, number):
        """A part, sometimes another that is taken back, sometimes the rest."""
        account = self.accounts[number]
        for turn in range(self.chance.randint(0, 3)):
            left = int(self.open(number) * 100)
            if left <= 0:
                return
            amount = money(self.chance.randint(1, left)) / 100
            said = self.run("bill", "paid", number, "--amount", str(amount), "--who", "A")
            payment = said.split()[1].rstrip(":")
            account["payments"][payment] = amount
            if turn == 1:
                self.run("bill", "take-back", payment, "--who", "A", "--why", "x")
                del account["payments"][payment]

    def listed(self):
        """What is open and by how many days it is overdue, paper by paper."""
        rows = {}
        for account in self.accounts.values():
            taken = account["credited"] + sum(account["payments"].values(), ZERO)
            for number, gross, due in account["papers"]:
                part = min(taken, gross)
                taken -= part
                late = (self.now - datetime.date.fromisoformat(due)).days if due else 0
                left = gross - part
                rows[number] = (left, late if late > 0 and left > 0 else None, account["farm"], due)
        return rows

    def hold_the_lists(self):
        rows = self.listed()
        list_of = {one["number"]: (money(one["open"]), one["overdue_days"])
                   for one in self.ask("bill", "list") if one["kind"] == "bill"}
        same({number: row[:2] for number, row in rows.items()}, list_of, "the list of bills")
        late = sorted(((due, number, farm, left, days)
                       for number, (left, days, farm, due) in rows.items() if days))
        farms = list(dict.fromkeys(one[2] for one in late))
        late.sort(key=lambda one: farms.index(one[2]))
        answer = self.ask("bill", "reminders")
        reminded = [(one["pay_by"], one["bill"], one["farm"], money(one["open"]), one["overdue_days"])
                    for one in answer["overdue"]]
        same(late, reminded, "the reminders")
        without = sum(left > 0 and due is None for left, _, _, due in rows.values())
        same(without, answer["open_without_day"], "open without a day")
        return len(late)

    def whole(self):
        """Bills of both farms in both ways; gives how many were overdue on the way."""
        overdue, number_of_bills = 0, 0
        for way, pay_within in (("net", 14), ("gross", 30)):
            prices, on = self.prices(way, pay_within)
            for place, herd in enumerate(self.herds()):
                visits = herd.visits()
                for turn in range(6):
                    at = (place + turn) * 3 + (0 if way == "net" else 18)
                    days = visits[at:at + 1 + turn % 2]
                    if not days:
                        continue
                    number_of_bills += 1
                    number, lines, ours = self.issue(herd, days, prices, on)
                    given = [ours]
                    if turn != 3 and self.discard_a_block(herd, days):
                        now = next(one for one in self.herds() if one.number == herd.number)
                        given.append(self.credit(number, lines, ours, now, days, prices, on))
                        herd = now
                    if turn == 5:
                        self.take_all_back(number, given, on)
                    else:
                        self.pay(number)
                    self.now += datetime.timedelta(days=2)
                    overdue += self.hold_the_lists()
        self.now += datetime.timedelta(days=40)
        overdue += self.hold_the_lists()
        return number_of_bills, overdue


def tables_hold(db):
    """What the tables say of each bill adds up by itself."""
    bills = db.execute("SELECT series, number, net, tax, gross FROM bill").fetchall()
    for series, number, net, tax, gross in bills:
        key = (series, number)
        free = db.execute("SELECT quantity, unit_price, amount FROM bill_free_line "
                          "WHERE series = ? AND number = ?", key)
        for quantity, price, amount in free:
            exact = decimal.Decimal(quantity) * price / 1000
            same(exact.quantize(decimal.Decimal(1), decimal.ROUND_HALF_UP), amount, "an amount")
        sums = db.execute("SELECT sum(net), sum(tax) FROM bill_tax WHERE series = ? AND number = ?",
                          key).fetchone()
        same((net, tax, gross), (*sums, sum(sums)), "sums")
    return len(bills)


def checks(bench):
    def bills():
        office = Office(bench)
        issued, overdue = office.whole()
        papers = tables_hold(opened(office.db))
        print(f"        {issued} bills, {papers - issued} credit notes, {overdue} reminders")
        assert issued >= 12 and overdue and papers > issued
        # Spoilt, each must be noticed.
        number = next(one for one in office.accounts if office.open(one) > 0)
        for what in ("papers", "credited", "payments"):
            spoilt = copy.deepcopy(office.accounts)
            if what == "papers":
                paper, gross, due = spoilt[number]["papers"][0]
                spoilt[number]["papers"][0] = (paper, gross + MINOR, due)
            elif what == "credited":
                spoilt[number]["credited"] += MINOR
            else:
                spoilt[number]["payments"]["spoilt"] = MINOR
            true, office.accounts = office.accounts, spoilt
            fails(office.hold_the_lists, f"{what} of {number}")
            office.accounts = true

    bench.check("bills: counted again with free lines, corrections, payments and reminders", bills)
