# A crew of two at one farm: this one stands at the left chute.
at 2026-03-03 06:40
power on
office clock
office plan 1:27=recheck-RH 1:31 1:46 1:58=do-not-trim
at 2026-03-03 07:30
keys COW 01 COW
keys COW 27 COW
expect CowDue
keys RH
expect FootDue
keys DO 50
keys COW 31 COW
expect CowKnown
keys LH FIND 22 1
at 2026-03-03 12:00
plug in
