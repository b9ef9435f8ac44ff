# An ulcer from last time of which nothing was said: asked for when she leaves.
at 2026-03-03 06:50
power on
office clock
office plan 1:12=open-LH-outer 1:27=open-RH 1:58
at 2026-03-03 07:10
keys COW 12 COW
# "All trimmed, sound" is said in passing and answers nothing.
keys DO DO
wait 2min
keys COW 27 COW
expect NotSpokenOf
# Which foot? Its count: eight, left hind.
keys SIZE SIZE
expect DueLh
# Back to her, and said after all.
keys COW 12 COW
keys LH DO 50
wait 1min
keys COW 27 COW
keys RH FIND 31 0
wait 2min
keys COW 58 COW
expect CowKnown
wait 10min
plug in
power off
