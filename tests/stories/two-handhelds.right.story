# The other of the crew stands at the right chute, with the same plan.
at 2026-03-03 06:41
power on
office clock
office plan 1:27=recheck-RH 1:31 1:46 1:58=do-not-trim
at 2026-03-03 07:31
keys COW 01 COW
keys COW 58 COW
expect DoNotTrim
keys DO 90
keys COW 46 COW
expect CowKnown
keys RH DO 30
clip 76.40 mm
expect Committed
at 2026-03-03 12:10
plug in
