"""Exports of the demo's database, read back by other people's programs."""

import sys

import ade
import derived
import everything
import harness
import lot
import plan
import recount_bills
import recount_check
import study
import workbook


def main():
    bench = harness.Bench(*sys.argv[1:3])
    bench.hornrule("demo")
    for part in (ade, workbook, study, everything, derived, recount_check, recount_bills, lot,
                 plan):
        part.checks(bench)
    print(f"exchange: {bench.passed} passed, {bench.failed} failed")
    return 1 if bench.failed or not bench.passed else 0


if __name__ == "__main__":
    sys.exit(main())
