# Two farms in a day, each with a cow 27: the farm that was keyed says whose she is.
at 2026-03-03 06:40
power on
office clock
office plan 1:27=recheck-RH 1:31 2:27 2:58=vet
at 2026-03-03 07:30
# Nobody said the farm yet: the cow is stored, and the handheld asks.
keys COW 31 COW
expect FarmUnknown
keys UNDO
keys COW 01 COW
keys COW 27 COW
expect CowDue
keys RH
expect FootDue
keys DO 51
keys DO 41
keys COW 31 COW
expect CowKnown
keys LH FIND 00
at 2026-03-03 11:10
keys COW 02 COW
keys COW 27 COW
expect CowKnown
keys LH FIND 31 2
keys COW 58 COW
expect Vet
keys DO 80
# Not on any list: stored all the same, and flagged in the office.
keys COW 4711 COW
expect CowUnknown
keys LF FIND 00
at 2026-03-03 16:00
plug in
