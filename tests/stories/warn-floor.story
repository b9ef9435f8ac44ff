# Shorter than the plan's floor after trimming; the heifer has none.
at 2026-03-03 06:50
power on
office clock
office plan 1:12 1:27=floor-78 1:58=no-floor floor=75
at 2026-03-03 07:10
keys COW 12 COW
# Before trimming a short wall is only a short wall.
keys LH
clip 74.20 mm
expect Committed
keys DO DO
keys LH
clip 74.20 mm
expect TooShortAfterTrim
keys LH
clip 75.00 mm
expect Committed
wait 2min
keys COW 27 COW
keys DO DO LH
clip 77.50 mm
expect TooShortAfterTrim
wait 2min
keys COW 58 COW
keys DO DO LH
clip 68.00 mm
expect Committed
wait 10min
plug in
power off
