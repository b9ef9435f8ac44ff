# A number keyed for the second time: this one is another cow.
at 2026-03-03 06:50
power on
office clock
office plan 1:12 1:27 1:121
at 2026-03-03 07:10
keys COW 12 COW
keys DO DO
wait 2min
keys COW 27 COW
expect CowKnown
keys DO DO
wait 2min
keys COW 12 COW
expect CowAgain
# She was 121.
keys UNDO
keys COW 121 COW
expect CowKnown
keys DO DO
wait 10min
plug in
power off
